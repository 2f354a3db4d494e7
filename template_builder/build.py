"""Write a season workbook: every sheet of the layout with its rows, drop-downs, limits, hidden keys and names."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from template_builder import look
from template_builder.addresses import letters
from template_builder.choices import Choice
from template_builder.columns import NOT_KNOWN, OWN, Column, Kind, Row, Sheet, Start, Value
from template_builder.entry import limits_of, prompt_of
from template_builder.excel import PROMPT_TITLE, Book, Page, new_book
from template_builder.forecast_page import write_forecast
from template_builder.forecast_rows import forecast_from, lambed_each_day
from template_builder.guide import write_codes
from template_builder.layout import (
    FIRST_ROW,
    HEADING_ROW,
    KEY_ROW,
    LAYOUT_VERSION,
    LISTS_TAB,
    LIVE_COLUMNS,
    LIVE_SETTINGS,
    META_TAB,
    TITLE_ROW,
    column_name,
    heading_name,
    list_name,
    setting_name,
    table_name,
)
from template_builder.policy import EVIDENCE_BY_ID, RULES, WEIGHTS
from template_builder.settings import SETTING, SETTINGS, Setting
from template_builder.sheets import SHEETS
from template_builder.start_here import write_start_here
from template_builder.tab import height_needed
from template_builder.words import shown

DATED = {Kind.DATE: look.DATE_FORMAT, Kind.MOMENT: look.MOMENT_FORMAT}
_AS_TEXT = (Kind.IDENTIFIER, Kind.TEXT)
_FORECAST_STANDS_BEFORE = "policy"
_TITLE_COLUMNS = 2  # so many columns of a data sheet stay in sight at its left edge


@dataclass(frozen=True)
class Plan:
    """What a workbook is built from: its title, rows by sheet id, which start, and a line on where it came from."""

    title: str
    rows: Mapping[str, Sequence[Row]]
    start: Start = Start.INDOORS
    built: str = ""


def build(path: Path, plan: Plan, *, force: bool = False) -> None:
    """Write the season workbook. Rows with a "row_key" are issued rows; a key beginning "+" is an own column.

    WriteError where the file cannot be put there, LayoutFault where the layout itself is at fault.
    """
    with new_book(path, title=plan.title, force=force, properties={"Layout": LAYOUT_VERSION}) as book:
        write_start_here(book, plan.title, plan.built)
        _lists(book)
        for sheet in SHEETS:
            if sheet.id == _FORECAST_STANDS_BEFORE:
                _forecast(book, plan)
            rows = fixed_rows(sheet, plan.rows.get(sheet.id, ())) if sheet.fixed_rows else plan.rows.get(sheet.id, ())
            _EntrySheet(book, sheet, rows, plan).write()
        write_codes(book, plan.title)
        _meta(book, plan)


def _forecast(book: Book, plan: Plan) -> None:
    """The forecast, where any ewe has a date to go by."""
    forecast = forecast_from(plan.rows)
    if forecast.days:
        pens = next((row.get("value") for row in plan.rows.get("season", ()) if row.get("row_key") == "pens"), None)
        have = pens if isinstance(pens, int) else None
        write_forecast(book, forecast, plan.title, lambed_each_day(plan.rows), have)


def fixed_rows(sheet: Sheet, own: Sequence[Row]) -> list[Row]:
    """The rows of Season or Policy: one for each setting or rule, with the values given in `own` by row key."""
    given = {row.get("row_key"): row for row in own}
    defaults = _season_rows() if sheet.id == "season" else _policy_rows()
    return [{**row, **given.get(row["row_key"], {})} for row in defaults]


def _season_rows() -> list[Row]:
    return [
        {"setting": setting.title, "unit": setting.unit, "default": setting.default, "why": setting.why,
         "source": setting.source, "row_key": setting.id}
        for setting in SETTINGS
    ]


def _policy_rows() -> list[Row]:
    rules: list[Row] = [
        {"rule": rule.title, "on": rule.on, "evidence": EVIDENCE_BY_ID[rule.evidence].title, "compare": rule.compare,
         "limit": rule.limit, "unit": EVIDENCE_BY_ID[rule.evidence].unit, "action": rule.action, "when": rule.when,
         "why": rule.why, "source": rule.source, "row_key": rule.id}
        for rule in RULES
    ]
    weights: list[Row] = [
        {"rule": weight.title, "limit": weight.limit, "unit": weight.unit, "why": weight.why, "source": weight.source,
         "row_key": weight.id}
        for weight in WEIGHTS
    ]
    return rules + weights


@dataclass
class _EntrySheet:
    """One entry sheet being written."""

    book: Book
    sheet: Sheet
    rows: Sequence[Row]
    plan: Plan

    def write(self) -> None:
        page = self.book.page(self.sheet.title)
        own = list(dict.fromkeys(key for row in self.rows for key in row if key.startswith(OWN)))
        last = FIRST_ROW + len(self.rows) + self.sheet.spare_rows - 1
        self._head(page)
        for number, column in enumerate(self.sheet, start=1):
            self._column(page, number, column, max(last, FIRST_ROW))
        titles = [column.title for column in self.sheet] + [key.removeprefix(OWN) for key in own]
        styles = [look.HEADING_ISSUED if column.issued else look.HEADING for column in self.sheet]
        page.table(table_name(self.sheet), (HEADING_ROW, 1), (max(last, FIRST_ROW), len(titles)), titles,
                   styles + [look.HEADING] * len(own))
        self._body(page, own)
        page.freeze(FIRST_ROW, 1 + min(_TITLE_COLUMNS, max(1, len(self.sheet.issued) or 1)))
        page.print_setup(repeat=(TITLE_ROW, HEADING_ROW), footer=self.plan.title, one_page_wide=self.sheet.fixed_rows)
        page.raw.hide_gridlines(0)

    def _head(self, page: Page) -> None:
        for number, column in enumerate(self.sheet, start=1):
            page.text(KEY_ROW, number, self.sheet.address(column), look.SMALL)
        page.height(KEY_ROW, look.ROW_HEIGHT, hidden=True)
        page.text(TITLE_ROW, 1, f"{self.sheet.title}: {self.sheet.purpose}", look.SECTION)
        page.height(TITLE_ROW, look.TITLE_HEIGHT)
        page.height(HEADING_ROW, look.HEADING_HEIGHT)

    def _column(self, page: Page, number: int, column: Column, last: int) -> None:
        page.width(number, column.characters, hidden=not column.shown(self.plan.start), style=cell_style(column))
        self.book.define(heading_name(self.sheet, column), self.sheet.title, (HEADING_ROW, number))
        if self.sheet.address(column) in LIVE_COLUMNS:
            self.book.define(column_name(self.sheet, column), self.sheet.title, (FIRST_ROW, number), (last, number))
        if self.sheet.fixed_rows and column.kind in (Kind.SETTING, Kind.TEXT):
            return
        rules = limits_of(column, f"{letters(number)}{FIRST_ROW}")
        prompt = prompt_of(column)
        if rules or prompt:
            told = {"input_title": column.title[:PROMPT_TITLE], "input_message": prompt} if prompt else {}
            page.validate((FIRST_ROW, number), (last, number), {**(rules or {"validate": "any"}), **told})

    def _body(self, page: Page, own: Sequence[str]) -> None:
        places = {column.id: (number, column) for number, column in enumerate(self.sheet, start=1)}
        extra = {key: len(self.sheet.columns) + number for number, key in enumerate(own, start=1)}
        styles = {(column.id, issued): self._style(column, issued) for column in self.sheet for issued in (True, False)}
        for row, values in enumerate(self.rows, start=FIRST_ROW):
            issued_row = "row_key" in values
            for key, value in values.items():
                if key in extra:
                    page.value(row, extra[key], value, look.PLAIN, shown)
                elif value is not None:
                    number, column = places[key]
                    page.value(row, number, value, _styled(styles[key, issued_row], value), shown)
            if self.sheet.fixed_rows:
                self._fixed_row(page, row, values)

    def _style(self, column: Column, issued_row: bool) -> look.Style:
        style = cell_style(column, issued=issued_row and column.issued)
        return style.with_(valign="top") if self.sheet.fixed_rows else style

    def _fixed_row(self, page: Page, row: int, values: Row) -> None:
        """Finish a row of Season or Policy: the value cell by its own kind, the row as high as its words."""
        written = (c for c in self.sheet if c.kind in (Kind.TEXT, Kind.SETTING))
        words = ((shown(values.get(c.id)), c.characters, look.WRAPPED) for c in written)
        page.height(row, height_needed(words))
        setting = SETTING.get(str(values.get("row_key")))
        if self.sheet.id == "season" and setting:
            number = [column.id for column in self.sheet].index("value") + 1
            style = look.FILL_IN.with_(number_format=_setting_format(setting), align="left", valign="top", wrap=True)
            page.value(row, number, values.get("value"), style, shown)
            if setting.id in LIVE_SETTINGS:
                self.book.define(setting_name(setting), self.sheet.title, (row, number))
            rules = limits_of(_as_column(setting), f"{letters(number)}{row}")
            if rules:
                page.validate((row, number), (row, number), rules)


def cell_style(column: Column, *, issued: bool = False) -> look.Style:
    """How the cells of a column look: text stays text, dates are unambiguous, issued cells are shaded."""
    formats = {Kind.WHOLE: "0", Kind.NUMBER: "General", **DATED}
    style = look.PLAIN.with_(number_format=look.TEXT_FORMAT if column.kind in _AS_TEXT else formats.get(column.kind, ""))
    if column.kind not in _AS_TEXT:
        style = style.with_(align="center" if column.kind is not Kind.SETTING else "left")
    if column.kind is Kind.SETTING or (column.issued and column.kind is Kind.TEXT):
        style = style.with_(wrap=True, valign="top")
    return style.with_(fill=look.MIST) if issued else style


def _styled(style: look.Style, value: Value) -> look.Style:
    """Text typed where a number or a date belongs keeps the look of its column."""
    return style.with_(number_format="") if isinstance(value, str) and style.number_format in DATED.values() else style


def _setting_format(setting: Setting) -> str:
    return DATED.get(setting.kind, look.TEXT_FORMAT if setting.kind is Kind.TEXT else "General")


def _as_column(setting: Setting) -> Column:
    return Column(
        setting.id, setting.title, setting.kind, setting.why, setting.choices, setting.least, setting.most, setting.unit,
    )


def all_lists() -> Iterator[tuple[str, type[Choice]]]:
    """Every list once: its defined name and its values."""
    columns = [column for sheet in SHEETS for column in sheet] + [_as_column(setting) for setting in SETTINGS]
    seen = {list_name(column): column.choices for column in columns if column.choices}
    yield from seen.items()


def _lists(book: Book) -> None:
    """The values of every list on a hidden sheet, each under its defined name, "?" last."""
    page = book.page(LISTS_TAB)
    for column, (name, choices) in enumerate(all_lists(), start=1):
        labels = [choice.label for choice in choices] + [NOT_KNOWN.value]
        for row, label in enumerate(labels, start=1):
            page.text(row, column, label, look.PLAIN)
        book.define(name, LISTS_TAB, (1, column), (len(labels), column))
    page.raw.hide()


def _meta(book: Book, plan: Plan) -> None:
    page = book.page(META_TAB)
    page.text(1, 1, "layout", look.PLAIN)
    page.number(1, 2, LAYOUT_VERSION, look.PLAIN)
    for row, (key, value) in enumerate((("start", plan.start.value), ("title", plan.title)), start=2):
        page.text(row, 1, key, look.PLAIN)
        page.text(row, 2, value, look.PLAIN)
    page.raw.very_hidden()
