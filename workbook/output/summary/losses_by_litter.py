"""In the pack: lambs lost in each stage by how many lambs the ewe was scanned with, and the shares of all known lambs."""

from collections import Counter
from collections.abc import Mapping

from template_builder.files.look import TALLY, TOTAL, WRAPPED
from template_builder.files.tab import Cell, Head, Shown
from template_builder.layout.words import so_many_are
from workbook.output.summary.losses import worst_words
from workbook.output.summary.pack import COLUMNS, Around, Part
from workbook.output.summary.page_one import BEFORE_BIRTH, lost_by_stage
from workbook.output.summary.phrases import FEW_WORD
from workbook.results.litters.exits import SHORT, exits
from workbook.results.litters.life_table import life_table
from workbook.results.litters.lines import ALL, BOUGHT_IN, COUNT, LINE, NOT_SCANNED
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW, PER_CENT

LABEL_COLUMNS = 3
KNOWN = ("scanned", "more_than_scanned", "born_unscanned")
TITLES = {"0": "scanned empty", NOT_SCANNED: "not scanned", COUNT: "by counts only"}
TO_COME = "to_lamb"
ALL_LOST, OF, SHARE = "all lost", "of lambs known", "lost of 100 known"
NOTE = ("Columns: lambs the ewe was scanned with. Lambs known are those scanned and those born that nobody had scanned; bought "
        "lambs are left out. {to_come}Under ten lambs there is no share.")


def losses_by_litter(around: Around) -> Part | None:
    """The table, and below it which class of lambs stands out."""
    result = around.result
    lost = lost_in(result)
    if not lost:
        return None
    classes = [name for name in result.account.classes if name not in (ALL, BOUGHT_IN)
               and (any(row.get(name) for row in lost.values()) or known_in(result, name))]
    classes = classes[:COLUMNS - LABEL_COLUMNS - 1]
    spans = ((1, LABEL_COLUMNS), *((at, at) for at in range(LABEL_COLUMNS + 1, LABEL_COLUMNS + 2 + len(classes))))
    heads = (Head("Stage", WRAPPED), *(Head(TITLES.get(name, name), TALLY) for name in classes), Head("All", TALLY))
    counts = {label: [*(row.get(name, 0) for name in classes), sum(row.values())] for label, row in lost.items()}
    sums = [sum(column) for column in zip(*counts.values(), strict=True)]
    rows: list[list[Shown]] = [[label, *numbers] for label, numbers in counts.items()]
    known = [known_in(result, name) for name in (*classes, ALL)]
    strong = TOTAL.with_(align="right", number_format=TALLY.number_format)
    rows.append([Cell(ALL_LOST, TOTAL), *(Cell(number, strong) for number in sums)])
    rows.append([OF, *known])
    rows.append([SHARE, *map(_share, sums, known)])
    ahead = result.account.total(TO_COME)
    lambs = so_many_are(ahead, "lamb", "still to be born is no loss and is", "still to be born are no loss and are")
    words = f"{lambs} not here. " if ahead else ""
    return Part(NOTE.format(to_come=words), heads, spans, rows, worst_words(result.losses))


def _share(lost: int, known: int) -> Shown:
    if known < FEW:
        return Cell(FEW_WORD, WRAPPED.with_(align="right")) if known else None
    return Cell(PER_CENT * lost / known, TALLY.with_(number_format="0.0"))


def known_in(result: Result, name: str) -> int:
    """Lambs known in a class, less those still to be born."""
    lines = result.account.lines
    known = sum(lines.get(line, {}).get(name, 0) for line in KNOWN) - lines.get(TO_COME, {}).get(name, 0)
    if name in (ALL, COUNT):
        known += sum(number for number, _ in _by_count(result).values())
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
    for group, (_, lost) in _by_count(result).items():
        found[f"{group}, by its counts"] = Counter({COUNT: lost})
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


def _by_count(result: Result) -> Mapping[str, tuple[int, int]]:
    """Lambs known and lost of each group known by its counts only."""
    return {group.group: (group.known or 0, group.lost or 0) for group in result.groups if group.by_count}
