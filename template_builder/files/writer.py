"""The only way workbooks are written: strict (nothing is dropped in silence), typed, safe, and all or nothing.

Text never becomes a formula or a link: every cell goes through a method that names what it writes.
"""

import warnings
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import date, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import xlsxwriter
from xlsxwriter.exceptions import FileCreateError, XlsxWriterException

from template_builder.files.look import BODY, DAY_ALONE, HEADING, SIZE_SMALL, TITLE_HEIGHT, Style
from template_builder.files.progress import Tell, silent
from template_builder.files.strict import LayoutFault, StrictSheet, did, not_a_cell, shared
from template_builder.files.writing import unstopped, writing
from template_builder.files.written import CREATED
from template_builder.layout.addresses import absolute, letters
from template_builder.layout.columns import Value
from template_builder.layout.words import fitting

LANGUAGE, ENGLISH = "Language", "en-GB"  # a property of the file: programs that read aloud choose their voice by it
PROMPT_TITLE, PROMPT_TEXT, ERROR_TEXT = 32, 255, 225
LONGEST_CHECK, LONGEST_HEADING = 255, 255  # characters of the formula of a validation, of a heading of a table
LONGEST_FOOTER = 100  # characters of a person's words in it; a footer may hold 255 with its codes and each & twice
LONGEST_LINK = 500  # characters of the path; a spreadsheet takes about 2,000, and blanks are written as three
FULL_SIZE = 100  # per cent
RISKY = ("=", "+", "-", "@", "\t", "\r")
RESERVED_TITLE = "history"  # a spreadsheet program keeps a sheet of this title for itself


def footer_code(words: str) -> str:
    """The footer of a page: these words, the sheet, the page number, in the smallest type.

    A blank parts the size from the words, which may begin with a digit: "&92026" would be size 92. "&&" stands for "&".
    """
    size = f"&{SIZE_SMALL}"
    return f"&L{size} {words[:LONGEST_FOOTER].replace('&', '&&')}&C{size}&A&R{size}Page &P of &N"


class Page:
    """One sheet being written. Rows and columns count from 1, as a spreadsheet shows them."""

    def __init__(self, book: "Book", title: str) -> None:
        self.book = book
        self.title = title
        self._breaks: list[int] = []
        self._column_breaks: list[int] = []
        self._notes: dict[tuple[int, int], str] = {}
        if title.strip().casefold() in ("", RESERVED_TITLE):
            raise LayoutFault(f"a sheet cannot have the title {title!r}")
        self._shared = 0
        try:
            self.raw = book.raw.add_worksheet(title, StrictSheet)
        except XlsxWriterException as error:
            raise LayoutFault(str(error)) from error

    def text(self, row: int, column: int, text: str, style: Style = BODY) -> None:
        """Write text as text, whatever it begins with."""
        if text == "":
            return self.blank(row, column, style)
        if text.startswith(RISKY):
            style = style.with_(quote_prefix=True)
        return did(self.raw.write_string(row - 1, column - 1, fitting(text), self.book.format(style)), "text in", self.title)

    def number(self, row: int, column: int, number: float, style: Style = BODY) -> None:
        did(self.raw.write_number(row - 1, column - 1, number, self.book.format(style)), "number in", self.title)

    def moment(self, row: int, column: int, value: date | datetime | time, style: Style) -> None:
        did(self.raw.write_datetime(row - 1, column - 1, value, self.book.format(style)), "date in", self.title)

    def blank(self, row: int, column: int, style: Style = BODY) -> None:
        did(self.raw.write_blank(row - 1, column - 1, None, self.book.format(style)), "blank in", self.title)

    def formula(self, row: int, column: int, formula: str, value: str | float, style: Style = BODY) -> None:
        """Write a formula with the value it has now; a formula without its value reads as 0 in many programs."""
        did(self.raw.write_formula(row - 1, column - 1, formula, self.book.format(style), value), "formula in", self.title)

    def formulas(self, row: int, column: int, formula: str, values: Sequence[str | float], style: Style = BODY) -> None:
        """Write one formula downwards from this row, each cell with the value it has now; `formula` is that of the first."""
        found = self.book.format(style)
        number = self._shared
        self._shared += 1
        area = f"{letters(column)}{row}:{letters(column)}{row + len(values) - 1}"
        written, later = shared(formula, area, number)
        for below, value in enumerate(values):
            text = later if below else written
            did(self.raw.write_shared(row - 1 + below, column - 1, text, found, value), "formula in", self.title)

    def link(self, row: int, column: int, sheet: str, cell: str, text: str, style: Style = BODY) -> None:
        """Write a link to a cell of the same workbook."""
        target = f"internal:'{sheet}'!{cell}"
        did(self.raw.write_url(row - 1, column - 1, target, self.book.format(style), fitting(text)), "link in", self.title)

    def file_link(self, row: int, column: int, path: str, text: str, style: Style = BODY) -> None:
        """Write a link to a file, seen from the workbook's folder; only the text where a link cannot name the file."""
        if "#" in path or len(path) > LONGEST_LINK:
            self.text(row, column, text, style)
            return
        found = self.book.format(style)
        did(self.raw.write_url(row - 1, column - 1, f"external:{path}", found, fitting(text)), "link in", self.title)

    def value(self, row: int, column: int, value: Value, style: Style = BODY, words: Callable[[Value], str] = str) -> None:
        """Write a value by its type: numbers and dates as such, anything else as text through `words`."""
        match value:
            case str():
                self.text(row, column, words(value), style)
            case None:
                self.blank(row, column, style)
            case bool():
                self.text(row, column, words(value), style)
            case int() | float():
                self.number(row, column, value, style)
            case date() | time():
                self.moment(row, column, value, style)
            case _:
                self.text(row, column, words(value), style)

    def title_row(self, row: int, text: str, style: Style) -> None:
        """A line of text that may run over the cells beside it."""
        self.text(row, 1, text, style)
        self.height(row, TITLE_HEIGHT)

    def across(self, row: int, first: int, last: int, text: str, style: Style = BODY) -> None:
        """Write text into one cell made of several side by side; it wraps in their joint width."""
        if last > first:
            found = self.book.format(style)
            did(self.raw.merge_range(row - 1, first - 1, row - 1, last - 1, "", found), "merged cells in", self.title)
        self.text(row, first, text, style)

    def down(self, first: int, last: int, column: int, text: str, style: Style) -> None:
        """Write text into one cell made of two or more one below the other."""
        found = self.book.format(style)
        did(self.raw.merge_range(first - 1, column - 1, last - 1, column - 1, "", found), "merged cells in", self.title)
        self.text(first, column, text, style)

    def in_two_sizes(self, row: int, column: int, small: str, large: str, small_style: Style, style: Style) -> None:
        """Write one text whose beginning is smaller than its end; both parts hold something."""
        first, then = self.book.format(small_style), self.book.format(style)
        cell = self.book.format(style.with_(quote_prefix=True)) if small.startswith(RISKY) else then
        did(self.raw.write_rich_string(row - 1, column - 1, first, small, then, large, cell), "text in", self.title)

    def headings(self, row: int, titles: Sequence[str], style: Style = HEADING, height: float = 32.0) -> None:
        for column, title in enumerate(titles, start=1):
            self.text(row, column, title, style)
        self.height(row, height)

    def width(self, column: int, characters: float, *, hidden: bool = False, style: Style | None = None) -> None:
        options = {"hidden": True} if hidden else {}
        found = self.book.format(style) if style else None
        did(self.raw.set_column(column - 1, column - 1, characters, found, options), "width in", self.title)

    def height(self, row: int, points: float, *, hidden: bool = False) -> None:
        did(self.raw.set_row(row - 1, points, None, {"hidden": True} if hidden else {}), "height in", self.title)

    def table(
        self, name: str, first: tuple[int, int], last: tuple[int, int], titles: Sequence[str],
        style: Style | Sequence[Style] = HEADING,
    ) -> None:
        """Make a table with these headings in the row of `first`, in one style or one each; unique and not blank."""
        if len({" ".join(title.casefold().split()) for title in titles}) != len(titles) or not all(map(str.strip, titles)):
            raise LayoutFault(f"{self.title}: headings repeat or are blank: {titles}")
        if any(len(title) > LONGEST_HEADING for title in titles):
            raise LayoutFault(f"{self.title}: a heading is over {LONGEST_HEADING} characters: {titles}")
        not_a_cell(name)
        styles = [style] * len(titles) if isinstance(style, Style) else style
        columns = [
            {"header": title, "header_format": self.book.format(worn)} for title, worn in zip(titles, styles, strict=True)
        ]
        options = {"name": name, "columns": columns, "style": None, "autofilter": True}
        did(self.raw.add_table(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1, options), "table", name)

    def validate(self, first: tuple[int, int], last: tuple[int, int], options: Mapping[str, Any]) -> None:
        """Add a validation; what a spreadsheet would cut off, take apart or refuse is refused here."""
        for key, most in (("input_title", PROMPT_TITLE), ("input_message", PROMPT_TEXT), ("error_message", ERROR_TEXT)):
            if len(str(options.get(key, ""))) > most:
                raise LayoutFault(f"{self.title}: {key} is over {most} characters: {options[key]}")
        for check in (options.get(key) for key in ("source", "value", "minimum", "maximum")):
            if isinstance(check, str) and len(check.removeprefix("=")) > LONGEST_CHECK:
                raise LayoutFault(f"{self.title}: the formula of a validation is over {LONGEST_CHECK} characters: {check}")
            if isinstance(check, list) and any("," in str(item) or str(item).startswith(RISKY) for item in check):
                raise LayoutFault(f"{self.title}: an item of a list has a comma or begins like a formula: {check}")
        did(self.raw.data_validation(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1, dict(options)), "validation in",
             self.title)

    def condition(self, first: tuple[int, int], last: tuple[int, int], options: Mapping[str, Any]) -> None:
        """Add a conditional format."""
        did(self.raw.conditional_format(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1, dict(options)), "condition in",
             self.title)

    def day_alone(self, first: tuple[int, int], last: tuple[int, int], number_format: str) -> None:
        """Show the moments of these cells by this format, as a day alone, where nobody wrote an hour."""
        look = self.book.raw.add_format({"num_format": number_format})
        criteria = f"={DAY_ALONE.format(cell=f'{letters(first[1])}{first[0]}')}"
        self.condition(first, last, {"type": "formula", "criteria": criteria, "format": look})

    def mark(self, row: int, column: int, formula: str, style: Style) -> None:
        """Let a cell look so while a formula holds, before any other look it may have.

        Of several that hold the first counts: by its number in some programs, by where it stands in the file in others.
        """
        self.condition((row, column), (row, column), {"type": "formula", "criteria": formula, "format": self.book.format(style)})
        looks = self.raw.cond_formats
        cell = next(reversed(looks))
        for rule in (rule for rules in looks.values() for rule in rules):
            rule["priority"] += 1
        looks[cell][-1]["priority"] = 1
        self.raw.cond_formats = {cell: looks.pop(cell), **looks}

    def note(self, row: int, column: int, words: str) -> None:
        """Put a note on a cell, below one that is there already: a cell has one note."""
        words = "\n".join(part for part in (self._notes.get((row, column)), words) if part)
        self._notes[row, column] = words
        did(self.raw.write_comment(row - 1, column - 1, fitting(words), {"x_scale": 2, "y_scale": 1.5}), "note in", self.title)

    def open_here(self) -> None:
        """Let the workbook open on this sheet; of several asked for, on the last. Two open sheets would be typed in at once."""
        for page in self.book.pages:
            page.raw.selected = 0
        self.raw.activate()

    def freeze(self, row: int, column: int = 1) -> None:
        """Keep the rows above `row` and the columns before `column` in sight."""
        self.raw.freeze_panes(row - 1, column - 1)

    def shown_at(self, *, zoom: int = 100, colour: str = "") -> None:
        """How large the sheet opens, in per cent, and the colour of its tab."""
        self.raw.set_zoom(zoom)
        if colour:
            self.raw.set_tab_color(colour)

    def print_setup(
        self, *, repeat: tuple[int, int] | None = None, portrait: bool = False, footer: str = "", one_page_wide: bool = False,
        pages_high: int = 0, repeat_columns: int = 0, side: float = 0.4, centred: bool = False, scale: int = FULL_SIZE,
    ) -> None:
        """A4, sensible margins, heading rows on every page, and a footer with the page number.

        `one_page_wide` shrinks to the paper's width, `pages_high` to so many pages: for pages to read, never to write on. With
        `repeat_columns`, so many columns stand on every page and the pages of a row follow each other. `side` are the margins
        left and right in inches, `centred` puts the page between them, `scale` is the size of the type in per cent.
        """
        self.raw.set_paper(9)
        if portrait:
            self.raw.set_portrait()
        else:
            self.raw.set_landscape()
        if scale != FULL_SIZE:
            self.raw.set_print_scale(scale)
        if one_page_wide or pages_high:
            self.raw.fit_to_pages(1, pages_high)
        self.raw.set_margins(left=side, right=side, top=0.5, bottom=0.6)
        if centred:
            self.raw.center_horizontally()
        self.raw.set_footer(footer_code(footer))
        if repeat:
            self.raw.repeat_rows(repeat[0] - 1, repeat[1] - 1)
        if repeat_columns:
            self.raw.repeat_columns(0, repeat_columns - 1)
            self.raw.print_across()

    def page_break(self, row: int) -> None:
        """Begin a new printed page with this row."""
        self._breaks.append(row - 1)
        did(self.raw.set_h_pagebreaks(self._breaks), "page break in", self.title)

    def page_break_before(self, column: int) -> None:
        """Begin a new printed page, beside the one before, with this column."""
        self._column_breaks.append(column - 1)
        did(self.raw.set_v_pagebreaks(self._column_breaks), "page break in", self.title)

    def print_area(self, first: tuple[int, int], last: tuple[int, int]) -> None:
        """Print these cells only; the rest of the sheet is for the screen."""
        did(self.raw.print_area(first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1), "print area in", self.title)

    def hide(self) -> None:
        """Hide the sheet and print nothing of it: LibreOffice prints the print area of a hidden sheet too."""
        self.raw.hide()
        self.raw.print_area_range = ""

    def place(self, row: int, column: int, chart: Any, *, width: int, height: int, words: str) -> None:
        """Put a chart with its corner on this cell; width and height in pixels, `words` for who cannot see it."""
        chart.set_size({"width": width, "height": height})
        did(self.raw.insert_chart(row - 1, column - 1, chart, {"description": words}), "chart in", self.title)

    def area(self, first: tuple[int, int], last: tuple[int, int]) -> list[Any]:
        """A range of this sheet as charts take it."""
        return [self.title, first[0] - 1, first[1] - 1, last[0] - 1, last[1] - 1]

    def protect(self) -> None:
        """Guard against typing over formulas; no password, columns may be widened, filters used."""
        self.raw.protect("", {"format_columns": True, "format_rows": True, "autofilter": True, "sort": True})


class Book:
    """A workbook being written. `hide` sheets with `hidden`; properties are custom document properties."""

    def __init__(
        self, path: Path, workspace: str, *, title: str, properties: Mapping[str, int | str] | None = None,
        tell: Tell = silent,
    ) -> None:
        options = {
            "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False, "tmpdir": workspace,
        }
        self.tell = tell
        self.raw = xlsxwriter.Workbook(str(path), options)
        self.raw.set_properties({"title": title, "created": CREATED})
        self.raw.set_calc_mode("auto")
        for name, value in {LANGUAGE: ENGLISH, **(properties or {})}.items():
            self.raw.set_custom_property(name, value)
        self._formats: dict[Style, Any] = {}
        self._names: set[str] = set()
        self.pages: list[Page] = []
        self._laid_out: dict[str, Page] = {}

    def let_go(self) -> None:
        """Close what stayed open where writing stopped half way; a disk that is full says so once more, to nobody."""
        for part in (self.raw, *self.raw.worksheets(), *self.raw.charts):
            if part.fh is not None and not part.fh.closed and part.internal_fh:
                with suppress(OSError):
                    part.fh.close()

    def format(self, style: Style) -> Any:
        """The file's format for a style, made once. Nothing is written in type smaller than the smallest of the scale."""
        found = self._formats.get(style)
        if found is None:
            if style.size < SIZE_SMALL:
                raise LayoutFault(f"type of {style.size} points is too small to read")
            found = self._formats[style] = self.raw.add_format(style.as_format())
        return found

    def lay_out(self, titles: Iterable[str]) -> None:
        """The order of these tabs, in whatever order they are written; others stand after them."""
        self._laid_out = {title: Page(self, title) for title in titles}

    def page(self, title: str) -> Page:
        self.tell(f"Writing tab {len(self.pages) + 1}, {title}")
        page = self._laid_out.pop(title, None) or Page(self, title)
        self.pages.append(page)
        return page

    def all_written(self) -> None:
        """A tab that was laid out and never written would stand there empty."""
        if self._laid_out:
            raise LayoutFault(f"tabs laid out and not written: {', '.join(self._laid_out)}")

    def define(self, name: str, sheet: str, first: tuple[int, int], last: tuple[int, int] | None = None) -> None:
        """Define a name for a cell or a range of a sheet; a name means one thing, in whatever case it is written."""
        not_a_cell(name)
        if name.casefold() in self._names:
            raise LayoutFault(f"the name {name} is given twice")
        self._names.add(name.casefold())
        quoted = sheet.replace("'", "''")
        target = f"='{quoted}'!{absolute(*first)}" + (f":{absolute(*last)}" if last else "")
        did(self.raw.define_name(name, target), "name", name)

    def chart(self, kind: str, subtype: str = "") -> Any:
        return self.raw.add_chart({"type": kind, **({"subtype": subtype} if subtype else {})})


@contextmanager
def _workspace() -> Iterator[str]:
    """A folder for the writer's own files, gone at the end, whoever stops the work."""
    with unstopped():
        folder = TemporaryDirectory()
    with folder as name:
        yield name


@contextmanager
def new_book(
    path: Path, *, title: str, force: bool = False, anew: bool = False, properties: Mapping[str, int | str] | None = None,
    tell: Tell = silent,
) -> Iterator[Book]:
    """A workbook that stands at `path` once the block ends well. Anything the writer drops or warns of is an error."""
    with writing(path, force=force, anew=anew) as temporary, _workspace() as workspace, warnings.catch_warnings():
        warnings.simplefilter("error")
        book = Book(temporary, workspace, title=title, properties=properties, tell=tell)
        try:
            yield book
            book.all_written()
            tell(f"Storing {path.name}, {len(book.pages)} tabs")
            book.raw.close()
        except (XlsxWriterException, UserWarning) as error:
            if isinstance(error, FileCreateError):  # the writer's own name for an error of the system
                raise OSError(*getattr(error.args[0], "args", error.args)) from error
            raise LayoutFault(str(error)) from error
        finally:
            book.let_go()
