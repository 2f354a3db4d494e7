"""Lamb rows that contradict themselves."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from template_builder.layout.choices import Born, CameFrom, RearedBy, TreatedFor
from template_builder.layout.settings import SETTING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.words import shown
from workbook.rules.rule import BLANK, Found, Severity, declare
from workbook.season.cells import Record
from workbook.season.families import BORN, Lamb
from workbook.season.season import Season
from workbook.season.weights import weight_in_words

# Litter size born -> the words for one of it, and the beginning of its settings.
SIZES = ((1, "single"), (2, "twin"), (3, "triplet"))


def size_of(lamb: Lamb, season: Season) -> str | None:
    """single, twin or triplet (which stands for larger litters too) by the number born; None where no ewe is known."""
    if lamb.bearer is None or lamb.born not in BORN:
        return None
    born = len(season.flock.ewes[lamb.bearer].born)
    return next((size for number, size in reversed(SIZES) if born >= number), None)


def with_rows(season: Season) -> Iterator[Lamb]:
    """The lambs that have a row of their own."""
    return (lamb for lamb in season.flock.lambs if lamb.named)


BIRTH_WEIGHT = LAMBS.column("birth_weight")


def believable_weight(kg: float) -> bool:
    """Whether a birth weight lies within the limits of its column; one that does not is reported when it is read."""
    return BIRTH_WEIGHT.holds(kg)


def treated(season: Season) -> Mapping[int, list[Record]]:
    """Treatments of single lambs, by the row of the lamb on Lambs."""
    found: dict[int, list[Record]] = defaultdict(list)
    for row in season.rows("treatments"):
        if row["given_to"] is TreatedFor.LAMB and (lamb := season.flock.lamb_called(row.words("animal"))) and lamb.named:
            found[lamb.record.row].append(row)
    return found


@declare("C116", "birth-weight-unlikely", title="A birth weight is unusual for the size of litter", severity=Severity.WARNING,
         why="Often a slip of the pen or a missing point; growth is worked out from it.",
         source="the ranges on Season", uses=("lambs.birth_weight",), fix="Correct the weight.",
         limits=tuple(SETTING[f"{size}_{end}"] for _, size in SIZES for end in ("least", "most")))
def birth_weight_unlikely(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        weight, size = lamb.birth_weight, size_of(lamb, season)
        if weight is None or size is None or not believable_weight(weight):
            continue
        least, most = (season.settings.number(f"{size}_{end}") for end in ("least", "most"))
        if not least <= weight <= most:
            word = "small" if weight < least else "large"
            litter = "lamb of three or more" if size == "triplet" else size
            yield Found(lamb.record.at("birth_weight"),
                        f"{weight_in_words(lamb.record, 'birth_weight')} is {word} for a {litter} "
                        f"({least:g} to {most:g} kg expected)", shown(lamb.record.written("birth_weight")), row_name=lamb.name)


LIFE = (
    ("vigour", "vigour"), ("sucked", "sucked"), ("belly", "belly next day"), ("reared_by", "reared by"),
    ("foster_ewe", "foster ewe"), ("moved_on", "moved on"), ("left_on", "left on"), ("left_how", "left how"),
)


@declare("C119", "dead-lamb-lived-on", title="A lamb not born alive has a later life", severity=Severity.ERROR,
         why="If it breathed it was born alive and its death counts as a loss of a live lamb; if not, it has no later life.",
         source="house rule", uses=("lambs.born",), fix="Correct Born, or clear the other cells.")
def dead_lamb_lived_on(season: Season) -> Iterator[Found]:
    of_lamb = treated(season)
    for lamb in with_rows(season):
        if lamb.born is Born.ALIVE:
            continue
        row = lamb.record
        filled = [(column, word) for column, word in LIFE if row.filled(column) and row[column] is not None]
        words = [f"{word} says {shown(row[column])}" for column, word in filled]
        later = [(event, "weighed") for event in lamb.weights]
        later += [(event, "treated") for event in of_lamb.get(row.row, ())]
        words += [f"{verb} on {shown(day)}" for event, verb in later if (day := event.day("date"))]
        if words:
            cells = [row.at(column) for column, _ in filled] + [event.at("animal") for event, _ in later]
            born = lamb.born.label
            yield Found(row.at("born"), f"born {born}, but {', '.join(words)}", born, tuple(cells), lamb.name)


@declare("C120", "foster-ewe-contradicts", title="Foster ewe and reared by do not agree", severity=Severity.ERROR,
         why="The lamb is booked to the ewe that reared by says, and its losses and growth with it.", source="house rule",
         uses=("lambs.reared_by", "lambs.foster_ewe"), fix="Correct reared by, or the foster ewe.")
def foster_ewe_contradicts(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        row = lamb.record
        reared_by, foster = row.choice("reared_by", RearedBy), row.text("foster_ewe")
        if reared_by is RearedBy.FOSTER_EWE and not row.filled("foster_ewe"):
            yield Found(row.at("foster_ewe"), "reared by says foster ewe, but no foster ewe is written", BLANK,
                        (row.at("reared_by"),), lamb.name)
        if foster and reared_by not in (None, RearedBy.FOSTER_EWE):
            yield Found(row.at("foster_ewe"), f"foster ewe {foster} is written, but reared by says {shown(reared_by)}", foster,
                        (row.at("reared_by"),), lamb.name)


@declare("C107", "foster-ewe-is-own-ewe", title="A lamb is set on to the ewe that bore it", severity=Severity.ERROR,
         why="It counts as reared by its own ewe, so the ewe that does rear it gets no credit.", source="house rule",
         uses=("lambs.ewe", "lambs.foster_ewe"), fix="Write the ewe it was set on to, or clear the cell.")
def foster_ewe_is_own_ewe(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        own, foster = (season.flock.match(lamb.record, column) for column in ("ewe", "foster_ewe"))
        if own and foster and own.key == foster.key and lamb.own_ewe == own.key:
            number = lamb.record.words("foster_ewe")
            yield Found(lamb.record.at("foster_ewe"), f"foster ewe {number} is the ewe that bore it", number,
                        (lamb.record.at("ewe"),), lamb.name)


@declare("C122", "born-blank", title="A lamb's row is filled but Born is blank", severity=Severity.WARNING,
         why="It is counted as born alive; if it was born dead, losses come out too high.", source="house rule",
         uses=("lambs.born",), fix="Write how it was born.")
def born_blank(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        if not lamb.record.filled("born") and not lamb.bought:
            yield Found(lamb.record.at("born"), f"lamb {lamb.name}: born is blank; counted as alive", BLANK,
                        row_name=lamb.name)


@declare("C127", "cause-without-death", title="A lamb that is not dead has a cause of death", severity=Severity.WARNING,
         why="The lamb still counts as alive.", source="house rule", uses=("lambs.cause", "lambs.left_how"),
         fix="Write the day and how it left, or clear the cause.")
def cause_without_death(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        cause = lamb.record["cause"]
        if cause is None or lamb.born is not Born.ALIVE or lamb.lost:
            continue
        rest = "left how says sold" if lamb.left_how else "left how is blank"
        yield Found(lamb.record.at("cause"), f"cause says {shown(cause)}, but {rest}", shown(cause),
                    (lamb.record.at("left_how"),), lamb.name)


@declare("C133", "lamb-without-ewe", title="A lamb has no ewe and nothing says where it came from", severity=Severity.WARNING,
         why="It counts as born here to an unknown ewe, so one ewe may be short of a lamb.", source="house rule",
         uses=("lambs.ewe", "lambs.came_from"), fix="Write its ewe, or bought in or mother not known under Came from.")
def lamb_without_ewe(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        row = lamb.record
        came_from = row.choice("came_from", CameFrom)
        if not row.filled("ewe") and came_from in (None, CameFrom.BORN_HERE, CameFrom.WITH_HER):
            says = f"came from says {came_from.label}" if came_from else "came from is blank"
            counted = "bought in" if lamb.bought else "mother not known"
            yield Found(row.at("ewe"), f"no ewe is written and {says}; counted as {counted}", BLANK,
                        (row.at("came_from"),), lamb.name)
