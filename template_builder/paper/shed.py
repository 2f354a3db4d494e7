"""Shed sheets, a block of rows for each ewe still to lamb, and the running sheet, numbered blocks in order of lambing."""

from collections.abc import Iterable

from template_builder.files.look import MIST, PAPER_HEADING, RULED, SIZE_SECTION, SIZE_SMALL, Style
from template_builder.files.look import PRINT_ROW_HEIGHT as ROW
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_THE_PEN
from template_builder.layout.columns import Start
from template_builder.layout.laying import LAMBS_A_LINE
from template_builder.layout.paper_tabs import RUNNING, SHED
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.form import Form
from template_builder.paper.pages import (
    HEADING_HEIGHT,
    MIDDLE,
    MIDDLE_SMALL,
    NAME,
    SMALL,
    TICK,
    Paper,
    asked,
    height_for,
    name_pixels,
)

LINES_WITHOUT_DAY_BOOK = 40  # where rows are laid ready by ewe the running sheet is for those nobody expected
_EWES = (asked("lambing.ewe", 0, "lambs.ewe", "ewes.ewe"), asked("lambing.scanned", 51, "ewes.scanned"),
         asked("lambing.due", 45, "ewes.due"))
_LINES = (asked("lambing.line", 40, "lambs.line"), asked("lambing.ewe", 78, "lambs.ewe"))

_OPEN = Style(locked=True)  # where nothing is asked
_UPPER = PAPER_HEADING.with_(fill="")
_BELOW = RULED.with_(fill=MIST)  # the second row of what is asked about a ewe, filled like its headings
_FIRST = RULED.with_(rule_above=True)
_EWE = NAME.with_(rule_above=True, size=SIZE_SECTION)
_LINE = _EWE.with_(align="center", indent=0)
_FIRST_MIDDLE = MIDDLE.with_(rule_above=True)
_WARNING = SMALL.with_(bold=True, rule_above=True)
_DIED = RULED.with_(size=SIZE_SMALL)
EWE_DIED = f"{TICK} ewe died"


def shed_form(flock: PaperFlock, start: Start) -> Form:
    """The shed sheets of a flock; her mark stands below scan and due day."""
    lead = (_EWES[0]._replace(pixels=name_pixels(flock.names, _EWE)), *_EWES[1:])
    return Form.of(lead, start, flock.unit, [(2, 3, asked("ewes.mark", 0))])


def running_form(flock: PaperFlock, start: Start) -> Form:
    """The running sheet: nothing is printed but the numbers of its lines."""
    return Form.of(_LINES, start, flock.unit)


def write_shed(book: Book, flock: PaperFlock, footer: str, start: Start) -> None:
    """Write the shed sheets: each ewe still to lamb with a row for each scanned lamb and one more."""
    form = shed_form(flock, start)
    paper = _paper(book, SHED, form, footer)
    _headings(paper, form)
    for ewe in flock.to_lamb:
        _ewe(paper, form, ewe)
    paper.finish()


def write_running(book: Book, flock: PaperFlock, footer: str, start: Start) -> None:
    """Write the running sheet: numbered blocks, in a day book the lines of the workbook that nobody has written on."""
    form = running_form(flock, start)
    paper = _paper(book, RUNNING, form, footer)
    _headings(paper, form)
    for line in running_lines(flock):
        rows = paper.block([ROW] * LAMBS_A_LINE)
        paper.page.text(rows[0], 1, str(line), _LINE)
        paper.page.blank(rows[0], 2, _FIRST)
        _rule(paper, form, rows[0])
        _below(paper, form, rows[1], died=2)
        _lambs(paper, form, rows)
    paper.finish()


def running_lines(flock: PaperFlock) -> Iterable[int]:
    """The lines of a day book, else numbers of the sheet's own."""
    return range(1, LINES_WITHOUT_DAY_BOOK + 1) if flock.lines is None else flock.lines


def _paper(book: Book, tab: str, form: Form, footer: str) -> Paper:
    asked_of_ewe = len(form.lead) + len(form.above)
    cells = [_OPEN] * asked_of_ewe + [RULED] * (len(form.columns) - asked_of_ewe)
    return Paper(book, tab, form.columns, note=AT_THE_PEN, footer=footer, cells=cells)


def _headings(paper: Paper, form: Form) -> None:
    """Two rows of headings, as what is asked about a ewe stands in two rows; the others go over both."""
    first = paper.headings(height=HEADING_HEIGHT, style=_UPPER)
    second = paper.headings([""] * len(form.columns), HEADING_HEIGHT)
    for left, right, column in form.under:
        paper.page.across(second, left, right, column.title, PAPER_HEADING)
    for number, column in zip(form.ewe_places, form.below, strict=True):
        paper.page.text(second, number, column.title, PAPER_HEADING)
    for number in range(form.lamb_no, len(form.columns) + 1):
        paper.page.down(first, second, number, form.columns[number - 1].title, _UPPER)


def _ewe(paper: Paper, form: Form, ewe: PaperEwe) -> None:
    lambs, notes = max(ewe.lambs, 1), len(form.columns)
    warning = f"Warning: {ewe.warning}" if ewe.warning else ""
    rows = paper.block([height_for(warning, paper.widths[-1]), *[ROW] * lambs])
    paper.name(rows[0], 1, ewe.name, _EWE)
    paper.cell(rows[0], 2, ewe.scanned, _FIRST_MIDDLE)
    paper.cell(rows[0], 3, ewe.due, _FIRST_MIDDLE)
    _rule(paper, form, rows[0])
    paper.cell(rows[0], notes, warning, _WARNING)
    _below(paper, form, rows[1], died=1)
    paper.cell(rows[1], 2, ewe.mark, MIDDLE_SMALL, 3)
    _lambs(paper, form, rows[:lambs])


def _rule(paper: Paper, form: Form, row: int) -> None:
    """A strong line above the first row of a ewe, over what is asked; those who write the rest draw theirs."""
    for column in (*form.ewe_places, *range(form.lamb_no + 1, len(form.columns) + 1)):
        paper.page.blank(row, column, _FIRST)


def _below(paper: Paper, form: Form, row: int, died: int) -> None:
    """The second row of a ewe: a box where she died, and what is asked later."""
    paper.page.text(row, died, EWE_DIED, _DIED)
    for number in form.ewe_places:
        paper.page.blank(row, number, _BELOW)


def _lambs(paper: Paper, form: Form, rows: range) -> None:
    for lamb, row in enumerate(rows, start=1):
        paper.page.text(row, form.lamb_no, str(lamb), _FIRST_MIDDLE if lamb == 1 else MIDDLE)
