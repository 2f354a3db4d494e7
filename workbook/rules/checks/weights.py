"""Growth that no lamb can make."""

from collections.abc import Iterator
from datetime import date
from itertools import islice, pairwise
from typing import NamedTuple

from template_builder.layout.settings import SETTING
from template_builder.layout.words import shown
from workbook.results.statistics.proportions import PER_CENT
from workbook.rules.checks.lamb_rows import SIZES, believable_weight, size_of, with_rows
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.cells import CellRef, Record
from workbook.season.families import Lamb
from workbook.season.season import Season
from workbook.season.weights import weight_in_words

GROWTH_MOST = Limit("Fastest growth believed", 600, "g a day",
                    "About twice what well-fed twins make; a gain above it is nearly always a slip.", "house rule")
GROWTH_DAYS = Limit("Least days between weighings", 7, "days",
                    "Over fewer days gut fill weighs more than growth.", "house rule")
LOSS_MOST = Limit("Largest loss of weight believed", 20, "%",
                  "A lamb that lost more would hardly stand on the scale.", "house rule")
GRAMS = 1000


class Weighing(NamedTuple):
    """One weight of a lamb and where it stands. A birth weight that was not taken has no cell."""

    day: date
    kg: float
    place: CellRef | None
    at_birth: bool = False

    @property
    def words(self) -> str:
        if not self.at_birth:
            return f"{round(self.kg, 2):g} kg on {shown(self.day)}"
        return f"{round(self.kg, 2):g} kg at birth on {shown(self.day)}" if self.place else f"birth on {shown(self.day)}"


def weighings(season: Season, lamb: Lamb) -> list[Weighing]:
    """All weights of a lamb in order of date, from its birth weight; one not taken is the usual one for its litter."""
    found = [
        Weighing(day, kg, row.at("kg"))
        for row in lamb.weights if (day := row.day("date")) and (kg := row.number("kg"))
    ]
    ewe = season.flock.mother(lamb)
    size = size_of(lamb, season)
    if ewe is None or ewe.lambed_on is None or size is None:
        return found
    kg, place = lamb.birth_weight, lamb.record.at("birth_weight")
    if kg and believable_weight(kg):
        return [Weighing(ewe.lambed_on, kg, place, at_birth=True), *found]
    return [Weighing(ewe.lambed_on, season.settings.number(f"{size}_constant"), None, at_birth=True), *found]


@declare("C129", "growth-not-possible", title="A lamb grew faster or lost more than lambs do", severity=Severity.WARNING,
         why="Usually a mistyped figure or a misread tag; growth and litter weights rest on it.", source="house rule",
         uses=("weights.kg", "weights.date"), fix="Correct the weight, its date or the animal.",
         limits=(GROWTH_MOST, GROWTH_DAYS, LOSS_MOST, *(SETTING[f"{size}_constant"] for _, size in SIZES)))
def growth_not_possible(season: Season) -> Iterator[Found]:
    for lamb in with_rows(season):
        pairs = pairwise(weighings(season, lamb))
        found = ((before, after, text) for before, after in pairs if after.place and (text := _unlikely(before, after)))
        for before, after, text in islice(found, 1):  # one wrong weight makes the next look wrong too
            if after.place:
                yield Found(after.place, f"lamb {lamb.name}: {text}", f"{after.kg:g}", (before.place,) if before.place else (),
                            lamb.name)


def _unlikely(before: Weighing, after: Weighing) -> str:
    """What is wrong between two weighings, empty where nothing is."""
    days = (after.day - before.day).days
    if days < GROWTH_DAYS.value:
        return ""
    gain = (after.kg - before.kg) * GRAMS / days
    loss = (before.kg - after.kg) / before.kg * PER_CENT if before.kg > 0 else 0.0
    if gain > GROWTH_MOST.value:
        return f"{after.words} is {gain:.0f} g a day since {before.words} (at most {GROWTH_MOST.value:g} expected)"
    if loss > LOSS_MOST.value and before.place:
        return f"{after.words} is {loss:.0f} % less than {before.words} (at most {LOSS_MOST.value:g} % expected)"
    return ""


@declare("C163", "weighed-twice-in-a-day", title="An animal has two weights on one day", severity=Severity.WARNING,
         why="A tag was probably misread, so that another animal has no weight.", source="house rule",
         uses=("weights.animal", "weights.date", "weights.kg"), fix="Correct the animal or the date of one, or delete it.")
def weighed_twice_in_a_day(season: Season) -> Iterator[Found]:
    animals = [(f"lamb {lamb.name}", lamb.name, lamb.weights) for lamb in with_rows(season)]
    animals += [(f"ewe {ewe.name}", ewe.name, ewe.weights) for ewe in season.flock.ewes.values()]
    for words, name, rows in animals:
        first: dict[date, Record] = {}
        for row in rows:
            day, kg = row.day("date"), row.number("kg")
            earlier = first.setdefault(day, row) if day and kg is not None else row
            if day and earlier is not row:
                before, now = weight_in_words(earlier, "kg"), weight_in_words(row, "kg")
                text = f"{words} already has a weight on {shown(day)}: {before} in row {earlier.row}"
                yield Found(row.at("animal"), text, f"{now} on {shown(day)}", (earlier.at("animal"),), name)
