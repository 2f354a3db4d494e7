"""Weights that are likely in the other unit only: one question for a whole column, not a line for each cell."""

from collections.abc import Collection, Iterator, Sequence
from statistics import median
from typing import NamedTuple

from template_builder.layout.choices import Weighed, WeightUnit
from template_builder.layout.settings import SETTING
from template_builder.layout.weights import IN_KG
from template_builder.layout.whole import column_at
from workbook.rules.checks.lamb_rows import SIZES, size_of, with_rows
from workbook.rules.rule import Found, Limit, Problem, Severity, declare
from workbook.season.cells import CellRef, titled
from workbook.season.season import Season
from workbook.season.weights import bare_weight

WEIGHTS_LEAST = Limit("Fewest weights a column is judged by", 8, "weights",
                      "A few heavy lambs are no habit of writing.", "house rule")
_WORDS = {WeightUnit.KG: "kilograms", WeightUnit.LB: "pounds"}
_OTHER = {WeightUnit.KG: WeightUnit.LB, WeightUnit.LB: WeightUnit.KG}
_EXACT = 9  # places: finer is how a computer counts
OTHER_UNIT = "C167"
# What is said of single weights, or of their unit, while the question about the whole column is open.
_UNDER_IT = frozenset({"R105", "C116", "C129"})
_HEADING = "R133"


class _Weight(NamedTuple):
    """A weight without a unit, as read in kg, and what is expected of it."""

    kg: float
    least: float
    most: float


def _birth_weights(season: Season) -> Iterator[_Weight]:
    for lamb in with_rows(season):
        size, kg = size_of(lamb, season), bare_weight(lamb.record, "birth_weight")
        if size and kg is not None:
            yield _expected(season, kg, size)


def _weaning_weights(season: Season) -> Iterator[_Weight]:
    for row in (row for lamb in with_rows(season) for row in lamb.weights if row["occasion"] is Weighed.WEANING):
        if (kg := bare_weight(row, "kg")) is not None:
            yield _expected(season, kg, "weaning")


def _expected(season: Season, kg: float, of: str) -> _Weight:
    return _Weight(kg, season.settings.number(f"{of}_least"), season.settings.number(f"{of}_most"))


def _too_light(weights: Sequence[_Weight], factor: float = 1.0) -> bool:
    """Whether the middle one of the weights, each against the least expected of it, is below; after all are multiplied."""
    return round(median(weight.kg * factor - weight.least for weight in weights), _EXACT) < 0


def _too_heavy(weights: Sequence[_Weight], factor: float = 1.0) -> bool:
    return round(median(weight.kg * factor - weight.most for weight in weights), _EXACT) > 0


@declare(OTHER_UNIT, "weights-in-other-unit", title="The weights of a column seem to be in another unit",
         severity=Severity.ERROR,
         why="Read in the unit Season names, the middle one is heavier or lighter than expected; read in the other it is not. "
             "A weight 2.2 times too large makes growth and litter weights wrong. Until this is settled, the single weights of "
             "the column are not queried.",
         source="the ranges on Season; international yard and pound agreement, 1959", uses=(),
         fix="Say on Season what weights are in, or write the unit beside each. Where they are right, change the weights "
             "expected on Season.",
         limits=(WEIGHTS_LEAST, *(SETTING[f"{of}_{end}"] for of in (*(size for _, size in SIZES), "weaning")
                                  for end in ("least", "most"))))
def weights_in_other_unit(season: Season) -> Iterator[Found]:
    for address, weights in (("lambs.birth_weight", [*_birth_weights(season)]), ("weights.kg", [*_weaning_weights(season)])):
        if len(weights) >= WEIGHTS_LEAST.value:
            yield from _asked(season, address, weights)


def _asked(season: Season, address: str, weights: Sequence[_Weight]) -> Iterator[Found]:
    said = season.settings.choice("weights_in", WeightUnit)
    other = _OTHER[said]
    factor = IN_KG[other] / IN_KG[said]
    if not (_too_light(weights) or _too_heavy(weights)) or _too_light(weights, factor) or _too_heavy(weights, factor):
        return
    sheet, _, id = address.partition(".")
    cells = [row.at(id) for row in season.rows(sheet) if bare_weight(row, id) is not None]
    middle = median(weight.kg for weight in weights) / IN_KG[said]
    title = titled(column_at(address))
    how = "heavier" if _too_heavy(weights) else "lighter"
    text = (f"{title}: {len(weights)} weights without a unit, the middle one {middle:.3g}, are {how} than expected in {said}, "
            f"but not in {other}: are they {_WORDS[other]}?")
    yield Found(cells[0], text, f"{len(cells)} cells", tuple(cells[1:]), title)


def without_single_weights(problems: Collection[Problem]) -> list[Problem]:
    """The problems, less those of single weights in a column that as a whole is asked about."""
    asked: set[CellRef] = {place for problem in problems if problem.rule.id == OTHER_UNIT
                           for place in (problem.place, *problem.found.also)}
    columns = {(place.sheet, place.column) for place in asked}
    return [
        problem for problem in problems
        if not (problem.rule.id in _UNDER_IT and asked.intersection((problem.place, *problem.found.also)))
        and not (problem.rule.id == _HEADING and (problem.place.sheet, problem.place.column) in columns)
    ]
