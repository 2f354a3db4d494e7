"""In the pack: lambs lost in each stage by how many lambs the ewe was scanned with, and the shares of all known lambs."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from template_builder.files.look import STRONG, TALLY, TOTAL, WRAPPED
from template_builder.files.tab import Cell, Head, Shown
from template_builder.layout.words import capital, so_many_are
from workbook.output.summary.losses import worst_words
from workbook.output.summary.pack import COLUMNS, Around, Part, Span
from workbook.output.summary.page_one import BEFORE_BIRTH, counted_label, lost_by_stage
from workbook.output.summary.phrases import FEW_WORD
from workbook.results.litters.exits import SHORT, exits
from workbook.results.litters.group_account import GroupAccount
from workbook.results.litters.life_table import life_table
from workbook.results.litters.lines import ALL, BOUGHT_IN, COUNT, LINE, NOT_SCANNED
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW, PER_CENT

LABEL_COLUMNS = 3
MOST_CLASSES = COLUMNS - LABEL_COLUMNS - 1  # beside the stage and the column of all
KNOWN = ("scanned", "more_than_scanned", "born_unscanned")
COUNTED_GROUPS = "by counts only"  # a class beside those of the account: lambs of groups that have no book
TITLES = {"0": "scanned empty", NOT_SCANNED: "not scanned", COUNT: "short at a count"}
TO_COME = "to_lamb"
ALL_LOST, OF, SHARE = "all lost", "of lambs known", "lost of 100 known"
STRONG_TALLY = TOTAL.with_(align="right", number_format=TALLY.number_format)
NOTE = ("Columns: lambs the ewe was scanned with. Lambs known are those scanned and those born that nobody had scanned; bought "
        "lambs are left out. {apart}{to_come}Under ten lambs there is no share.")
SHORT_NOTE = "Lambs short at a count have no row of their own, so no litter size: they stand apart. "
GROUPS_TITLE = "Lambs lost, by group"
GROUPS_NOTE = "Lambs known are those scanned and those counted beyond. Under ten lambs there is no share."
GROUP_STEPS = (("scanning to marking", "lost_to_marking"), ("to weaning", "lost_to_weaning"))
GROUP_SPANS: tuple[Span, ...] = ((1, 3), (4, 5), (6, 7), (8, 8), (9, 10), (11, 12))


class Class(NamedTuple):
    """A column of the table: its heading, and the classes of lambs that are counted in it."""

    title: str
    names: tuple[str, ...]


def losses_by_litter(around: Around) -> Part | None:
    """The table, and below it which class of lambs stands out; by group in a flock known by its counts alone."""
    result = around.result
    lost = lost_in(result)
    if not lost:
        return None
    if result.by_counts_alone:
        return _by_group(result)
    classes = classes_of(result, lost)
    heads = (Head("Stage", WRAPPED), *(Head(one.title, TALLY) for one in classes), Head("All", TALLY))
    spans = ((1, LABEL_COLUMNS), *((at, at) for at in range(LABEL_COLUMNS + 1, LABEL_COLUMNS + 2 + len(classes))))
    counts = {label: [*(_of(row, one) for one in classes), sum(row.values())] for label, row in lost.items()}
    sums = [sum(column) for column in zip(*counts.values(), strict=True)]
    rows: list[list[Shown]] = [[label, *numbers] for label, numbers in counts.items()]
    known = [*(sum(known_in(result, name) for name in one.names) for one in classes), known_in(result, ALL)]
    rows.append([Cell(ALL_LOST, TOTAL), *(Cell(number, STRONG_TALLY) for number in sums)])
    rows.append([OF, *known])
    rows.append([SHARE, *map(_share, sums, known)])
    ahead = result.account.total(TO_COME)
    lambs = so_many_are(ahead, "lamb", "still to be born is no loss and is", "still to be born are no loss and are")
    words = f"{lambs} not here. " if ahead else ""
    apart = SHORT_NOTE if any(COUNT in one.names for one in classes) else ""
    return Part(NOTE.format(to_come=words, apart=apart), heads, spans, rows, worst_words(result.losses))


def classes_of(result: Result, lost: Mapping[str, Mapping[str, int]]) -> tuple[Class, ...]:
    """The classes with a lamb lost or known, so that a stage adds up across; the largest litters as one where not all fit."""
    wanted = [name for name in (*result.account.classes, COUNTED_GROUPS) if name not in (ALL, BOUGHT_IN)
              and (any(row.get(name) for row in lost.values()) or known_in(result, name))]
    sizes = [name for name in wanted if name.isdigit()]
    others = [Class(TITLES.get(name, name), (name,)) for name in wanted if name not in sizes]
    apart = max(1, min(len(sizes), MOST_CLASSES - len(others)))
    kept = sizes if apart >= len(sizes) else sizes[:apart - 1]
    found = [Class(TITLES.get(name, name), (name,)) for name in kept]
    if together := tuple(sizes[len(kept):]):
        found.append(Class(f"{together[0]} or more", together))
    return (*found, *others)


def _by_group(result: Result) -> Part:
    """Each group with what it lost between its counts."""
    groups = [group for group in result.groups if group.by_count and group.known is not None]
    steps = tuple(Head(title, TALLY) for title, _ in GROUP_STEPS)
    sums = tuple(Head(capital(title), TALLY) for title in (ALL_LOST, OF, SHARE))
    rows: list[list[Shown]] = []
    for group in groups:
        rows.append([group.group, *(group.lines[line] for _, line in GROUP_STEPS), *_lost_of([group])])
    totals = (sum(group.lines[line] or 0 for group in groups) for _, line in GROUP_STEPS)
    rows.append([Cell("all groups", TOTAL), *(Cell(one, STRONG_TALLY) for one in totals), *_lost_of(groups)])
    return Part(GROUPS_NOTE, (Head("Group", STRONG), *steps, *sums), GROUP_SPANS, rows, title=GROUPS_TITLE)


def _lost_of(groups: Iterable[GroupAccount]) -> list[Shown]:
    lost, known = (sum(numbers) for numbers in zip(*((group.lost or 0, group.known or 0) for group in groups), strict=True))
    return [Cell(lost, STRONG_TALLY), known, _share(lost, known)]


def _of(row: Mapping[str, int], one: Class) -> int:
    return sum(row.get(name, 0) for name in one.names)


def _share(lost: int, known: int) -> Shown:
    if known < FEW:
        return Cell(FEW_WORD, WRAPPED.with_(align="right")) if known else None
    return Cell(PER_CENT * lost / known, TALLY.with_(number_format="0.0"))


def known_in(result: Result, name: str) -> int:
    """Lambs known in a class, less those still to be born. Those short at a count are known in the class of their ewe."""
    lines = result.account.lines
    known = sum(lines.get(line, {}).get(name, 0) for line in KNOWN) - lines.get(TO_COME, {}).get(name, 0)
    if name in (ALL, COUNTED_GROUPS):
        known += sum(group.known or 0 for group in result.groups if group.by_count)
    return known


def lost_in(result: Result) -> Mapping[str, Mapping[str, int]]:
    """Lambs lost in each stage by class; over all classes a stage is that of page one."""
    classes = _classes(result)
    found: dict[str, Counter[str]] = {}
    for line in BEFORE_BIRTH:
        found[LINE[line].title.lower()] = Counter({
            name: number for name, number in result.account.lines.get(line, {}).items() if name != ALL and number})
    for stage in life_table(result.season):
        found[stage.label] = Counter(classes.get((place.sheet, place.row), COUNT) for place in stage.rows)
    for group in result.groups:
        if group.by_count:
            found[counted_label(group, result)] = Counter({COUNTED_GROUPS: group.lost or 0})
    return {label: found.get(label, Counter({COUNT: lambs})) for label, lambs in lost_by_stage(result)}


def _classes(result: Result) -> Mapping[tuple[str, int], str]:
    """The class of each lamb whose own row says that it went; who is short at a count has none."""
    flock, ewes = result.season.flock, result.account.ewes
    found = {}
    for lamb, exit in exits(result.season).items():
        mother = flock.mother(lamb)
        account = ewes.get(mother.key) if mother else None
        if exit.how != SHORT:
            found[exit.place.sheet, exit.place.row] = account.size_class if account else NOT_SCANNED
    return found
