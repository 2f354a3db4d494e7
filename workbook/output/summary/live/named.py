"""Ewes by number as the pack prints them, as formulas: those it lists, those that come to them since, and those that stay.

The line of a ewe stays hers, as it is as high as what is said of her; what is decided and why follows. So those that come to be
culled, drafted or watched afterwards have lines of their own below.
"""

from collections.abc import Iterable, Sequence

from template_builder.layout.choices import Verdict
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, place
from workbook.output.summary.live.ewes import SECTIONS

LINES, ADDED, NUMBERS = "lines", "added", {Verdict.UNKNOWN: "unknowns", Verdict.KEEP: "keeps"}
MOST_ADDED = 8  # lines laid ready for ewes that come to those listed
TO_DECIDE = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH)
COLUMNS, SHORT_TAG = 12, 8  # numbers in a row of the page, and the characters of one; of longer ones half as many stand in it
BEFORE = "Before she goes"
_OTHERWISE = '"decided at the meeting; by the rules: "'


def _told() -> tuple[LiveColumn, ...]:
    """What is decided about the ewe in this row of Ewe decisions, why, and what is to be seen to before she goes."""
    at = "MAX(1,{at})"
    said, code = f"INDEX(live_decisions_said,{at})", f"INDEX(live_decisions_final_code,{at})"
    own = f"AND({said}>0,{said}<>INDEX(live_decisions_verdict_code,{at}))"
    goes = f"OR({code}={place(Verdict.CULL)},{code}={place(Verdict.DRAFT)})"
    return (
        LiveColumn("final", f'IF({{at}}=0,"",INDEX(live_decisions_final,{at}))'),
        LiveColumn("goes", f"IF({{at}}=0,0,IF({goes},1,0))"),
        LiveColumn("before", f'IF({{goes}}=0,"",INDEX(live_decisions_before_going,{at})&"")'),
        LiveColumn("why", f'IF({{at}}=0,"",IF({own},{_OTHERWISE},"")&INDEX(live_decisions_reasons,{at})'
                          f'&IF({{before}}="","",". {BEFORE}: "&{{before}}))'),
    )


def lines_sheet(ewes: int, first_column: int) -> LiveSheet:
    """A line for each ewe that the pack lists, known by her place by number among all ewes."""
    return LiveSheet(LINES, (
        LiveColumn("ewe", ""), LiveColumn("at", "MATCH({ewe},live_decisions_order,0)"), *_told(),
    ), rows=ewes, first_column=first_column)


HOW_MANY_ADDED = LiveCell("how_many_added", "ROWS(live_decisions_added)-COUNTIF(live_decisions_added,0)")
ADDED_LINE = LiveCell("added_line", (
    f'IF({HOW_MANY_ADDED.name}=0,"None so far.",{HOW_MANY_ADDED.name}&IF({HOW_MANY_ADDED.name}=1," ewe"," ewes")&" so far"'
    f'&IF({HOW_MANY_ADDED.name}>{MOST_ADDED},", the first {MOST_ADDED} are named.","."))'))


def added_sheet(first_column: int) -> LiveSheet:
    """Those that come to them, the strictest decision first."""
    next_one = "SMALL(live_decisions_added,COUNTIF(live_decisions_added,0)+{k})"
    return LiveSheet(ADDED, (
        LiveColumn("at", f"IF({{k}}>{HOW_MANY_ADDED.name},0,MATCH({next_one},live_decisions_added,0))"),
        LiveColumn("name", 'IF({at}=0,"",INDEX(live_decisions_name,MAX(1,{at})))'), *_told(),
    ), rows=MOST_ADDED, first_column=first_column)


def _section(verdict: Verdict) -> int:
    return SECTIONS.index(place(verdict)) + 1


def is_long(names: Iterable[str]) -> bool:
    """Whether numbers are too long for one column of the page each."""
    return any(len(name) > SHORT_TAG for name in names)


def cells_for(names: Sequence[str]) -> int:
    """Cells for so many numbers in full rows of the page, a row more for those that come to them; none where there are none."""
    across = COLUMNS // 2 if is_long(names) else COLUMNS
    return across * (-(-len(names) // across) + 1) if names else 0


def numbers_sheet(verdict: Verdict, cells: int, first_column: int) -> LiveSheet:
    """So many cells for the numbers of the ewes of one decision."""
    section = _section(verdict)
    marked = f"INDEX(live_listed_marked,MIN(ROWS(live_listed_marked),live_pen_before_{section}+{{k}}))"
    return LiveSheet(NUMBERS[verdict], (
        LiveColumn("name", f'IF({{k}}>live_pen_ewes_{section},"",{marked})'),
    ), rows=cells, first_column=first_column)


def numbers_line(verdict: Verdict, cells: int) -> LiveCell:
    """How many there are, and whether the cells laid ready hold all of them."""
    number = f"live_pen_ewes_{_section(verdict)}"
    return LiveCell(f"{NUMBERS[verdict]}_line", (
        f'{number}&IF({number}=1," ewe"," ewes")&IF({number}>{cells},", the first {cells} are named.",".")'))


def pack_sheets(ewes: Sequence[tuple[str, Verdict]], first_column: int) -> tuple[LiveSheet, ...]:
    """The blocks for these ewes with what is recommended for each, side by side; a list without ewes has none."""
    listed = sum(verdict in TO_DECIDE for _, verdict in ewes)
    sheets: list[LiveSheet] = []

    def free() -> int:
        return max(sheets[-1].places.values()) + 2 if sheets else first_column

    if listed:
        sheets.append(lines_sheet(listed, free()))
    for verdict in NUMBERS:
        if cells := cells_for([name for name, own in ewes if own is verdict]):
            sheets.append(numbers_sheet(verdict, cells, free()))
    sheets.append(added_sheet(free()))
    return tuple(sheets)


def pack_cells(sheets: Sequence[LiveSheet]) -> tuple[LiveCell, ...]:
    """The sentences above them."""
    rows = {sheet.id: sheet.rows for sheet in sheets}
    lines = (numbers_line(verdict, rows[id]) for verdict, id in NUMBERS.items() if id in rows)
    return (HOW_MANY_ADDED, ADDED_LINE, *lines)


def page(sheet: str, column: str, number: int) -> str:
    """The formula that shows a cell on the page. It looks at a number first, as blank words pass no change on."""
    if sheet in NUMBERS.values():
        section = _section(next(verdict for verdict, id in NUMBERS.items() if id == sheet))
        return f'=IF({number}>live_pen_ewes_{section},"",INDEX(live_{sheet}_name,{number}))'
    return f'=IF(INDEX(live_{sheet}_at,{number})=0,"",INDEX(live_{sheet}_{column},{number}))'
