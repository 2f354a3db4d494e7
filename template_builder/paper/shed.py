"""Shed sheets, a block of rows for each ewe laid ready, and the running sheet, empty numbered blocks in order of lambing."""

from template_builder.files.look import PRINT_ROW_HEIGHT, RULED, RULED_SMALL, SIZE_SECTION
from template_builder.files.writer import Book
from template_builder.layout.cautions import AT_THE_PEN
from template_builder.layout.laying import LAMBS_A_LINE
from template_builder.layout.whole import RUNNING_TAB, SHED_TAB
from template_builder.paper.animals import PaperEwe, PaperFlock
from template_builder.paper.pages import NAME, TICK, Paper, PaperColumn, height_for, in_unit

LINES_WITHOUT_DAY_BOOK = 40  # where rows are laid ready by ewe the running sheet is for those nobody expected

_LAMBING = (
    PaperColumn("Day, time", 9, ("lambing.lambed_on",)),
    PaperColumn("All well", 4, ("lambing.all_well",)),
    PaperColumn("Help, why", 8, ("lambing.help", "lambing.why_helped")),
    PaperColumn("No.", 3.5, ("lambs.lamb_no",)),
    PaperColumn("Lamb tag", 8.5, ("lambs.tag",)),
    PaperColumn("Sex", 4.5, ("lambs.sex",)),
    PaperColumn("Born: alive, dead", 6, ("lambs.born",)),
    PaperColumn("kg", 4.5, ("lambs.birth_weight",)),
    PaperColumn("Sucked", 6, ("lambs.sucked",)),
    PaperColumn("Taken", 5.5, ("lambs.taken",)),
    PaperColumn("Sides in milk", 5, ("lambing.sides_in_milk",)),
    PaperColumn("Teats", 5.5, ("lambing.teats",)),
    PaperColumn("Next day", 6, ("lambing.next_day", "lambs.belly")),
)
_NOTES = ("lambing.notes", "lambs.notes")

SHED = (
    PaperColumn("Ewe", 8.5, ("lambing.ewe", "lambs.ewe")),
    PaperColumn("Scan", 5, ("lambing.scanned", "ewes.scanned")),
    PaperColumn("Due", 6.5, ("lambing.due", "ewes.due")),
    PaperColumn("Mark", 6, ("ewes.mark", "ewes.past_warning")),
    *_LAMBING,
    PaperColumn("Notes", 8, _NOTES),
)
RUNNING = (
    PaperColumn("Line", 5, ("lambing.line", "lambs.line")),
    PaperColumn("Ewe", 9, ("lambing.ewe", "lambs.ewe")),
    *_LAMBING,
    PaperColumn("Notes", 20, _NOTES),
)

_FIRST = RULED.with_(rule_above=True)
_EWE = NAME.with_(rule_above=True, size=SIZE_SECTION)
_MIDDLE = _FIRST.with_(align="center")
_NUMBER = RULED.with_(align="center")
_EWE_DIED = f"{TICK} ewe died"
_TITLES = tuple(column.title for column in SHED)
_MARK = _TITLES.index("Mark") + 1


def write_shed(book: Book, flock: PaperFlock, title: str) -> None:
    """Write the shed sheets: each ewe still to lamb with a row for each scanned lamb and one more."""
    if not flock.to_lamb or flock.lines:
        return
    paper = Paper(book, SHED_TAB, in_unit(SHED, flock.unit), title="Shed sheets", note=AT_THE_PEN, footer=title)
    for ewe in flock.to_lamb:
        _ewe(paper, ewe)
    paper.finish()


def _ewe(paper: Paper, ewe: PaperEwe) -> None:
    lambs = max(ewe.lambs, 1)
    warning = f"Warning: {ewe.warning}" if ewe.warning else ""
    second = height_for(warning, sum(paper.widths[:_MARK]))
    rows = paper.block([PRINT_ROW_HEIGHT, second, *[PRINT_ROW_HEIGHT] * (lambs - 1)])
    _rule(paper, rows[0])
    paper.cell(rows[0], 1, ewe.name, _EWE)
    for column, text in enumerate((ewe.scanned, ewe.due, ewe.mark), start=2):
        paper.cell(rows[0], column, text, _MIDDLE)
    paper.cell(rows[1], 1, warning, RULED_SMALL.with_(bold=True), _MARK)
    _lambs(paper, rows, _TITLES, lambs)


def write_running(book: Book, flock: PaperFlock, title: str) -> None:
    """Write the running sheet: numbered blocks, in a day book those of the workbook."""
    if not flock.to_lamb and not flock.lines:
        return
    lines = flock.lines or tuple(range(1, LINES_WITHOUT_DAY_BOOK + 1))
    paper = Paper(book, RUNNING_TAB, in_unit(RUNNING, flock.unit), title="Running lambing sheet", note=AT_THE_PEN, footer=title)
    titles = tuple(column.title for column in RUNNING)
    for line in lines:
        rows = paper.block([PRINT_ROW_HEIGHT] * LAMBS_A_LINE)
        _rule(paper, rows[0])
        paper.cell(rows[0], 1, str(line), _EWE.with_(align="center", indent=0))
        _lambs(paper, rows, titles, LAMBS_A_LINE)
    paper.finish()


def _rule(paper: Paper, row: int) -> None:
    """A strong line above the first row of a ewe."""
    for column in range(1, len(paper.widths) + 1):
        paper.page.blank(row, column, _FIRST)


def _lambs(paper: Paper, rows: range, titles: tuple[str, ...], lambs: int) -> None:
    """Number the lambs of a block, and leave a box for a ewe that died."""
    number, day = titles.index("No.") + 1, titles.index("Day, time") + 1
    for lamb, row in enumerate(rows[:lambs], start=1):
        paper.cell(row, number, str(lamb), _MIDDLE if lamb == 1 else _NUMBER)
    paper.cell(rows[1], day, _EWE_DIED, RULED_SMALL)
