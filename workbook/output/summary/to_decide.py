"""In the pack: the ewes to decide on, a line each with a box for the final word, and the others by number."""

from collections.abc import Iterable, Sequence
from itertools import zip_longest

from template_builder.files.look import BODY, STRONG, WRAPPED
from template_builder.files.tab import Cell, Head, Shown
from template_builder.layout.choices import Action, Verdict
from template_builder.layout.laying import in_order
from template_builder.layout.summary_tabs import EWE_DECISIONS, MARKS
from workbook.output.summary.ewe_decisions import LOOKS
from workbook.output.summary.live.lists import MOVED, MOVED_LINE
from workbook.output.summary.pack import COLUMNS, Around, Part, Span
from workbook.output.summary.phrases import VERDICT_ORDER
from workbook.results.advice.decisions import Decision, before_she_goes
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.pipeline import Result

TO_DECIDE = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH)
GOES = (Verdict.CULL, Verdict.DRAFT)
SHORT_TAG = 8  # characters of a number that one column of the page holds
SMALL = WRAPPED.with_(size=9)
NAME = STRONG.with_(valign="top")
SPANS: tuple[Span, ...] = ((1, 1), (2, 2), (3, 5), (6, 9), (10, 11), (12, 12))
LONG_SPANS: tuple[Span, ...] = ((1, 2), (3, 3), (4, 6), (7, 9), (10, 11), (12, 12))
NOTE = (f"The deciding reason stands first. Write the final word in the box at the meeting and type it on {EWE_DECISIONS}. The "
        "farmer and adviser decide, the vet on health; the medicine book and local rules stand above what is written here.")
AS_WRITTEN = f"These lines are as they were: page one, {EWE_DECISIONS} and {MARKS} follow."
NOBODY = "By what was recorded no ewe is to cull, to draft or to watch."
KEEP_NOTE = "No fault was found in what was recorded of these {number} ewes; what was looked at of each is on {tab}."


def ewes_to_decide(around: Around) -> Part | None:
    """Ewes to cull, to draft and to watch, strictest first."""
    result = around.result
    if not result.decisions:
        return None
    ewes = sorted((one for one in result.decisions.values() if one.verdict in TO_DECIDE), key=_order)
    so_far = any(one.provisional for one in ewes)
    heads = (Head("Ewe", NAME), Head("Verdict, so far" if so_far else "Verdict"), Head("Why, the deciding reason first", SMALL),
             Head("Her season", SMALL), Head("Before she goes", SMALL), Head("Final word"))
    spans = LONG_SPANS if _long(one.name for one in ewes) else SPANS
    return Part(NOTE if ewes else NOBODY, heads, spans, [_line(one, around) for one in ewes], long=True, moved=_moved(around))


def _moved(around: Around) -> tuple[str, str]:
    """What has been changed since these lines were written: they stay as they were, page one and Ewe decisions do not."""
    if around.live is None:
        return "", ""
    return str(around.live.cell(MOVED_LINE)), f'={MOVED_LINE.name}&IF({MOVED.name}=0,""," {AS_WRITTEN}")'


def _order(decision: Decision) -> tuple[object, ...]:
    return VERDICT_ORDER.index(decision.verdict), decision.reasons[0].title, *in_order(decision.name.strip())


def _line(decision: Decision, around: Around) -> list[Shown]:
    result = around.result
    ewe = result.season.flock.ewes[decision.ewe]
    link = around.places.link(ewe.record.at("ewe")) if ewe.record else None
    return [
        Cell(decision.name, link=link), Cell(decision.verdict.label, LOOKS[decision.verdict]), _why(decision),
        season_in_words(ewe, result.rearing.litters.get(ewe.key), sound=False),
        before_she_goes(decision) if decision.verdict in GOES else None, None,
    ]


def _why(decision: Decision) -> str:
    """The deciding reason on a line of its own, the others below it."""
    first, *others = decision.reasons
    besides = "; ".join(one.text for one in others if one.action is not Action.NOTE)
    noted = "; ".join(one.text for one in others if one.action is Action.NOTE)
    return "\n".join([first.text, *[f"Besides: {besides}"] * bool(besides), *[f"Noted: {noted}"] * bool(noted)])


def ewes_to_keep(around: Around) -> Part | None:
    """Ewes that stay, by number in columns."""
    return _numbers(around.result, Verdict.KEEP, KEEP_NOTE)


def ewes_not_known(around: Around) -> Part | None:
    """Ewes of which nothing was recorded, by number."""
    return _numbers(around.result, Verdict.UNKNOWN, "Nothing was recorded this season of {number} ewes.")


def _numbers(result: Result, verdict: Verdict, note: str) -> Part | None:
    names = sorted((one.name for one in result.decisions.values() if one.verdict is verdict), key=in_order)
    if not names:
        return None
    wide = 2 if _long(names) else 1
    spans = tuple((first, first + wide - 1) for first in range(1, COLUMNS + 1, wide))
    return Part(note.format(number=len(names), tab=EWE_DECISIONS), tuple(Head("", BODY) for _ in spans), spans,
                _in_columns(names, len(spans)), long=True)


def _in_columns(names: Sequence[str], columns: int) -> list[list[Shown]]:
    """Names down one column, then down the next."""
    rows = -(-len(names) // columns)
    return [list(row) for row in zip_longest(*(names[at * rows:(at + 1) * rows] for at in range(columns)))]


def _long(names: Iterable[str]) -> bool:
    return any(len(name) > SHORT_TAG for name in names)
