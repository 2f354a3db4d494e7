"""The list for the handling pen as formulas: every ewe under what is decided about her, by number, so many to a line."""

from collections.abc import Iterable

from template_builder.layout.choices import Verdict
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds
from workbook.output.summary.live.ewes import EWE, OUTSIDE, SECTIONS

PEN = "pen"
NOT_READ = "cannot be read"
WORDS = {**{number: verdict.label for number, verdict in enumerate(Verdict, start=1)}, OUTSIDE: NOT_READ}
TITLES = tuple(WORDS[code] for code in SECTIONS)
MARKED = TITLES[:3]  # those for which somebody may write which mark is used
MARK_NAME = "pen_mark"
ALL_NUMBERS = 91.0  # characters of the page beside the headings
_WIDER, _APART, _MOST_ACROSS = 1.2, 3.0, 12  # of the larger type; characters between one number and the next; in a line
_LAST = len(SECTIONS)


def across(names: Iterable[str]) -> int:
    """So many numbers of this flock stand in a line."""
    longest = max(map(len, names), default=1)
    return max(1, min(_MOST_ACROSS, int(ALL_NUMBERS / (longest * _WIDER + _APART))))


def pen_cells(across: int) -> tuple[LiveCell, ...]:
    """How many ewes each section has, the line it begins in, and how many stand before it; after the last, where it ends."""
    found = [LiveCell("pen_top_1", "1"), LiveCell("pen_before_1", "0")]
    for number in range(1, _LAST + 1):
        ewes = f"live_pen_ewes_{number}"
        from_here, beyond = (f'COUNTIF(live_decisions_mark,">="&{start * EWE})' for start in (number, number + 1))
        lines = f"IF({ewes}=0,0,1+INT(({ewes}+{across - 1})/{across}))"
        found += [LiveCell(f"pen_ewes_{number}", f"{from_here}-{beyond}"),
                  LiveCell(f"pen_top_{number + 1}", f"live_pen_top_{number}+{lines}"),
                  LiveCell(f"pen_before_{number + 1}", f"live_pen_before_{number}+{ewes}")]
    return tuple(found)


def pen_sheet(ewes: int, across: int) -> LiveSheet:
    """Lines of a heading for each section and the numbers below it; as many lines as any decisions may need."""
    first = _of_section(f"IF({{line}}=live_pen_top_N,0,live_pen_before_N+1+({{line}}-live_pen_top_N-1)*{across})")
    return LiveSheet(PEN, (
        LiveColumn("heading", _heading()),
        *(LiveColumn(f"ewe_{at}", _number(at)) for at in range(1, across + 1)),
        LiveColumn("line", ""),
        LiveColumn("section", _section()),
        LiveColumn("first", first),
        LiveColumn("last", _of_section("live_pen_before_N+live_pen_ewes_N")),
    ), rows=_lines(ewes, across), numbered=False)


def _lines(ewes: int, across: int) -> int:
    """Full lines, and for each section a heading and a line that is not full."""
    return ewes // across + 2 * _LAST


def _section() -> str:
    """The section a line belongs to, 0 below the last."""
    return first_that_holds(((f"{{line}}<live_pen_top_{number + 1}", number) for number in range(1, _LAST + 1)), 0)


def _of_section(formula: str) -> str:
    return first_that_holds(
        ((f"{{section}}={number}", formula.replace("_N", f"_{number}")) for number in range(1, _LAST + 1)), 0)


def _heading() -> str:
    titles = ((f"{{section}}={number}", _titled(number, title)) for number, title in enumerate(TITLES, start=1))
    return first_that_holds([("OR({section}=0,{first}>0)", '""'), *titles], '""')


def _titled(number: int, title: str) -> str:
    """The title of a section with how many ewes are in it, and the mark they get."""
    said = f'"{title}: "&live_pen_ewes_{number}'
    if title not in MARKED:
        return said
    mark = f'TRIM(INDEX({MARK_NAME},{number})&"")'
    return f'{said}&IF({mark}="","",", "&{mark})'


def _number(at: int) -> str:
    """The ewe at this place of the line; nothing in a heading, or beyond the last of her section."""
    place = f"{{first}}+{at - 1}"
    return f'IF(OR({{first}}=0,{place}>{{last}}),"",INDEX(live_listed_marked,MIN(ROWS(live_listed_marked),MAX(1,{place}))))'
