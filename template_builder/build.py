"""Write a season workbook: every sheet of the layout with its rows, drop-downs, limits, hidden keys and names."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from functools import cached_property
from pathlib import Path

from template_builder.entry.lists_and_limits import limits_of, told_on_entering
from template_builder.entry.marks import Grid, mark
from template_builder.entry.on_paper import set_up
from template_builder.entry.tabs import TABS, by_tally_alone, finish, out_of_sight
from template_builder.files import look
from template_builder.files.progress import Tell, silent
from template_builder.files.room import height_needed
from template_builder.files.writer import Book, Page, new_book
from template_builder.forecast.page import Limits
from template_builder.forecast.per_day import Forecast
from template_builder.forecast.rows import forecast_from, lambed_each_day
from template_builder.guide import write_guide
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Choice, WeightUnit
from template_builder.layout.columns import LINE, NOT_KNOWN, OWN, ROW_KEY, Column, Kind, Row, Sheet, Start, Value
from template_builder.layout.laying import numbered_by_line, setting_in, weights_in
from template_builder.layout.policy import EVIDENCE_BY_ID, RULES, WEIGHTS
from template_builder.layout.settings import SETTING, SETTINGS, Setting
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.weights import KG, in_unit
from template_builder.layout.whole import (
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
from template_builder.layout.widths import longest_names, width_of
from template_builder.layout.words import shown
from template_builder.left_page import write_left
from template_builder.live.columns import LiveValues
from template_builder.live.live_writer import LiveWriter
from template_builder.live.write import write_hidden, write_live
from template_builder.progress_page import write_progress

DATED = {Kind.DATE: look.DATE_FORMAT, Kind.MOMENT: look.MOMENT_FORMAT}
_AS_TEXT = (Kind.IDENTIFIER, Kind.TEXT)
_ALIGNED = {Kind.WHOLE: "right", Kind.NUMBER: "right", Kind.DATE: "center", Kind.MOMENT: "center"}


@dataclass(frozen=True)
class Plan:
    """What a workbook is built from: its title, rows by sheet id, which start, and a line on where it came from.

    `live` are the values its formulas have for these rows; left out, they stay blank until a spreadsheet works them out.
    """

    title: str
    rows: Mapping[str, Sequence[Row]]
    start: Start = Start.INDOORS
    built: str = ""
    live: LiveValues = field(default_factory=dict)

    def setting(self, id: str) -> float:
        """A setting that is a number: the value given among the rows, else its default."""
        return setting_in(self.rows, id)

    @cached_property
    def longest(self) -> Mapping[str, int]:
        """Letters of the longest number or name of each column, from which widths come."""
        return longest_names(self.rows)

    @cached_property
    def unit(self) -> WeightUnit:
        """What weights are in: headings and limits say so."""
        return weights_in(self.rows)

    def limit(self, id: str) -> float:
        """A setting as what is typed is compared with it: a weight in the unit of the workbook."""
        value = self.setting(id)
        return in_unit(value, self.unit) if SETTING[id].unit == KG else value


def build(
    path: Path, plan: Plan, *, force: bool = False, more: Callable[[Book], None] | None = None, tell: Tell = silent,
) -> None:
    """Write the season workbook. Rows with a "row_key" are issued rows; a key beginning "+" is an own column.

    Text in a cell for a number, a date or a list value is written as it is. `more` writes further sheets, after the others.
    WriteError where the file cannot be put there, LayoutFault where the layout itself is at fault.
    """
    with new_book(path, title=plan.title, force=force, properties={"Layout": LAYOUT_VERSION}, tell=tell) as book:
        book.lay_out(TABS)
        rows = {sheet.id: _rows_of(sheet, plan) for sheet in SHEETS}
        last_rows = {sheet.id: last_row(sheet, len(rows[sheet.id])) for sheet in SHEETS}
        day_books = {id for id, own in rows.items() if numbered_by_line(own)}
        write_live(book, last_rows, plan.live, plan.title, day_books, plan.longest, by_tally_alone=by_tally_alone(plan.rows))
        forecast = forecast_from(plan.rows)
        _progress(LiveWriter(book, last_rows, plan.live, plan.title), plan, forecast)
        for sheet in SHEETS:
            _EntrySheet(book, sheet, rows[sheet.id], plan).write()
        hidden = out_of_sight(plan.rows, plan.start, forecast=bool(forecast.days))
        write_guide(book, plan.title, plan.built, plan.start, hidden)
        write_left(book, plan.rows.get(LEFT.id, ()), plan.title)
        _lists(book)
        write_hidden(book, last_rows, plan.live)
        finish(book, hidden)
        if more:
            more(book)
        _meta(book, plan)


def _progress(writer: LiveWriter, plan: Plan, forecast: Forecast) -> None:
    pens = next((row.get("value") for row in plan.rows.get("season", ()) if row.get("row_key") == "pens"), None)
    limits = Limits(pens if isinstance(pens, int) else None, plan.setting("two_people"))
    write_progress(writer, forecast, lambed_each_day(plan.rows), limits, by_tally_alone=by_tally_alone(plan.rows))


def _rows_of(sheet: Sheet, plan: Plan) -> Sequence[Row]:
    own = plan.rows.get(sheet.id, ())
    return fixed_rows(sheet, own) if sheet.fixed_rows else own


def last_row(sheet: Sheet, rows: int) -> int:
    """The last row laid ready of a sheet with so many rows, spare ones included."""
    return max(FIRST_ROW + rows + sheet.spare_rows - 1, FIRST_ROW)


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
         "limit": rule.limit, "unit": EVIDENCE_BY_ID[rule.evidence].unit, "action": rule.action,
         "at_mating": rule.at_mating or rule.action, "when": rule.when, "why": rule.why,
         "source": rule.source, "row_key": rule.id}
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

    @cached_property
    def day_book(self) -> bool:
        """Whether the rows are numbered lines in order of lambing."""
        return numbered_by_line(self.rows)

    @cached_property
    def columns(self) -> tuple[Column, ...]:
        return tuple(column.in_unit(self.plan.unit) for column in self.sheet.arranged(day_book=self.day_book))

    @cached_property
    def issued(self) -> tuple[Column, ...]:
        """The columns that the build fills in on the rows it lays ready."""
        return self.sheet.issued_in((LINE.id,) if self.day_book else ())

    def _shown(self, column: Column) -> bool:
        """A hidden tab has its columns as indoors, for whoever unhides it."""
        start = self.plan.start if self.sheet.shown(self.plan.start) else Start.INDOORS
        return column.shown(start, day_book=self.day_book)

    def write(self) -> None:
        page = self.book.page(self.sheet.title)
        own = list(dict.fromkeys(key for row in self.rows for key in row if key.startswith(OWN)))
        last = last_row(self.sheet, len(self.rows))
        self._head(page)
        for number, column in enumerate(self.columns, start=1):
            self._column(page, number, column, last)
        titles = [column.title for column in self.columns] + [key.removeprefix(OWN) for key in own]
        styles = [look.HEADING_ISSUED if column in self.issued else look.HEADING for column in self.columns]
        page.table(table_name(self.sheet), (HEADING_ROW, 1), (last, len(titles)), titles,
                   styles + [look.HEADING] * len(own))
        self._body(page, own)
        self._hints(page, last, len(titles))
        page.freeze(FIRST_ROW, 1 + self.sheet.lead)
        self._on_paper(page, last, len(titles))
        page.raw.hide_gridlines(1)  # shown, not printed: paper has the ruled lines

    def _on_paper(self, page: Page, last: int, columns: int) -> None:
        """The rows laid ready are printed, but not the limits mirrored right of them, nor what earlier seasons left on Ewes.

        A person's own columns stand right of those, and are printed with them.
        """
        told = max(number for number, column in enumerate(self.columns, start=1) if not (column.of_past or column is ROW_KEY))
        right = told if columns == len(self.columns) else columns
        widths = [width_of(self.sheet, column, self.plan.longest) * self._shown(column) for column in self.columns[:right]]
        set_up(page, self.plan.title, widths, lead=self.sheet.lead, always=self.sheet.fixed_rows)
        page.print_area((1, 1), (last, right))

    def _head(self, page: Page) -> None:
        for number, column in enumerate(self.columns, start=1):
            page.text(KEY_ROW, number, self.sheet.address(column), look.SMALL)
        page.height(KEY_ROW, look.ROW_HEIGHT, hidden=True)
        self._title(page)
        page.height(TITLE_ROW, look.TITLE_HEIGHT)
        page.height(HEADING_ROW, look.HEADING_HEIGHT)

    def _title(self, page: Page) -> None:
        """The title over the leading columns, so that it is whole on every page; beside them what the sheet is for."""
        for number in range(1, len(self.columns) + 1):
            page.blank(TITLE_ROW, number, look.SHEET_TITLE)
        page.text(TITLE_ROW, 1, self.sheet.title, look.SHEET_TITLE)
        beside = next(n for n, column in enumerate(self.columns, start=1) if n > self.sheet.lead and self._shown(column))
        page.text(TITLE_ROW, beside, self.sheet.purpose, look.SHEET_PURPOSE)

    def _column(self, page: Page, number: int, column: Column, last: int) -> None:
        width = width_of(self.sheet, column, self.plan.longest)
        page.width(number, width, hidden=not self._shown(column), style=self._beside(column, cell_style(column)))
        self.book.define(heading_name(self.sheet, column), self.sheet.title, (HEADING_ROW, number))
        if self.sheet.address(column) in LIVE_COLUMNS:
            self.book.define(column_name(self.sheet, column), self.sheet.title, (FIRST_ROW, number), (last, number))
        if self.sheet.fixed_rows and column.kind in (Kind.SETTING, Kind.TEXT):
            return
        rules = limits_of(column, f"{letters(number)}{FIRST_ROW}") or {"validate": "any"}
        page.validate((FIRST_ROW, number), (last, number), {**rules, **told_on_entering(column)})

    def _hints(self, page: Page, last_row: int, last_column: int) -> None:
        places = {column.id: number for number, column in enumerate(self.columns, start=1)}
        moments = frozenset(column.id for column in self.columns if column.kind is Kind.MOMENT)
        grid = Grid(places, frozenset(column.id for column in self.issued), moments, last_row, last_column)
        mark(page, self.sheet.id, grid, self.plan.limit)

    def _body(self, page: Page, own: Sequence[str]) -> None:
        places = {column.id: (number, column) for number, column in enumerate(self.columns, start=1)}
        extra = {key: len(self.sheet.columns) + number for number, key in enumerate(own, start=1)}
        styles = {(column.id, issued): self._style(column, issued) for column in self.sheet for issued in (True, False)}
        for row, values in enumerate(self.rows, start=FIRST_ROW):
            self._height(page, row, values)
            issued = self.sheet.issued_in(values) if "row_key" in values else ()
            for key, value in values.items():
                if key in extra:
                    page.value(row, extra[key], value, styled(look.PLAIN, value), shown)
                elif value is not None:
                    number, column = places[key]
                    page.value(row, number, value, styled(styles[key, column in issued], value), shown)
            if self.sheet.fixed_rows:
                self._fixed_row(page, row, values)

    def _height(self, page: Page, row: int, values: Row) -> None:
        """A row whose text takes more than a line is as high as its text: not every program lets it grow on opening."""
        texts = ((values.get(column.id), column) for column in self.columns if self._shown(column))
        points = height_needed((str(text), width_of(self.sheet, column, self.plan.longest), self._style(column, issued_row=False))
                               for text, column in texts if isinstance(text, str))
        if points > look.ROW_HEIGHT:
            page.height(row, points)

    def _style(self, column: Column, issued_row: bool) -> look.Style:
        style = self._beside(column, cell_style(column, issued=issued_row and column.issued))
        return style.with_(valign="top") if self.sheet.fixed_rows else style

    def _beside(self, column: Column, style: look.Style) -> look.Style:
        return look.beside(style, self._numbers.index(column.id)) if column.id in self._numbers else style

    @cached_property
    def _numbers(self) -> list[str]:
        """The columns whose cells stand at the right edge."""
        return [column.id for column in self.columns if _ALIGNED.get(column.kind) == "right"]

    def _fixed_row(self, page: Page, row: int, values: Row) -> None:
        """Finish a row of Season or Policy: what is left blank in it as the rest, the value cell by its own kind."""
        for number, column in enumerate(self.columns, start=1):
            if column.issued and values.get(column.id) is None:
                page.blank(row, number, self._style(column, issued_row=True))
        setting = SETTING.get(str(values.get("row_key")))
        if self.sheet.id == "season" and setting:
            number = [column.id for column in self.sheet].index("value") + 1
            style = self._style(_as_column(setting), issued_row=False).with_(number_format=_setting_format(setting), wrap=True)
            page.value(row, number, values.get("value"), styled(style, values.get("value")), shown)
            if setting.id in LIVE_SETTINGS:
                self.book.define(setting_name(setting), self.sheet.title, (row, number))
            column = _as_column(setting)
            rules = limits_of(column, f"{letters(number)}{row}") or {"validate": "any"}
            page.validate((row, number), (row, number), {**rules, **told_on_entering(column)})
            if setting.kind is Kind.MOMENT:
                page.day_alone((row, number), (row, number), look.DATE_FORMAT)


def cell_style(column: Column, *, issued: bool = False) -> look.Style:
    """How the cells of a column look: text stays text, dates are unambiguous, issued cells are shaded."""
    formats = {Kind.WHOLE: "0", Kind.NUMBER: "General", **DATED}
    style = look.PLAIN.with_(number_format=look.TEXT_FORMAT if column.kind in _AS_TEXT else formats.get(column.kind, ""))
    align = _ALIGNED.get(column.kind, "left")
    style = style.with_(align=align, indent=int(align != "center"))
    if column.kind in (Kind.TEXT, Kind.SETTING):
        style = style.with_(wrap=True)  # the row grows: a note is read to its end, on paper too
    if column.kind is Kind.SETTING or (column.issued and column.kind is Kind.TEXT):
        style = style.with_(valign="top")
    return style.with_(fill=look.MIST) if issued else style


def styled(style: look.Style, value: Value) -> look.Style:
    """The style of a cell for the value in it: what is no date never looks like one, and a date always does."""
    dated = style.number_format in DATED.values()
    if isinstance(value, date | time):
        moment = isinstance(value, datetime | time)
        return style if dated else style.with_(number_format=look.MOMENT_FORMAT if moment else look.DATE_FORMAT)
    return style.with_(number_format="") if dated and isinstance(value, str | int | float) else style


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
