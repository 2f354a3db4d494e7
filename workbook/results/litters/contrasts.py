"""How many times as often one class of lambs was lost as another: triplets and twins, light and middling, ram against rams.

The measure is the risk ratio: share lost of one class over share lost of the other. The odds ratio stands beside it under
its own name, for papers print either and it is the further from one. Lambs of one litter are alike, so that twenty of them
tell less than twenty strangers; the interval is widened for that by a design effect worked out from the flock's own litters.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum, auto
from typing import NamedTuple, TypeVar

from template_builder.layout.choices import Help
from template_builder.layout.words import capital
from workbook.results.litters.differences import Difference, loss_differences
from workbook.results.litters.exits import short_in_groups
from workbook.results.litters.lamb_classes import NOT_RECORDED, group_label, help_given, ram_label
from workbook.results.litters.litter_mates import Tally, likeness_within_litters, tallied
from workbook.results.litters.splits import live_born
from workbook.results.statistics.chance import beyond_one
from workbook.results.statistics.proportions import (
    FEW,
    Proportion,
    Ratio,
    odds_ratio,
    widened_relative_risk,
    widened_wilson,
)
from workbook.season.families import Ewe, Lamb
from workbook.season.matching import fold
from workbook.season.season import Season

CLASS_OF = ":"  # parts the kind of a class from its name in an id
# The split whose classes each comparison is of; of "ram:17" and "group:hill" the id says it.
KINDS: Mapping[str, str] = {
    "triplets_v_twins": "litter_size", "twins_v_singles": "litter_size", "light_v_middle": "birth_weight",
    "helped_v_not": "help", "first_lambing_v_later": "lambings",
}
LIGHT_UNDER, MIDDLE_UNDER = 3.0, 5.0  # kg at birth (house rule)
TRIPLETS, TWINS, SINGLES = 3, 2, 1

Fact = TypeVar("Fact")

RISK_RATIO = "risk ratio"
METHOD = (
    f"Share lost in one class over share lost in the other (risk ratio; not the odds ratio), for classes of {FEW} live-born "
    "lambs or more. In brackets the 95 % interval (log-normal, Katz and others 1978), made wider because lambs of one litter "
    "are alike: each class counts for as many lambs as it has, divided by the design effect 1 + (m - 1) x likeness (Kish "
    "1965; Rao and Scott 1992). Likeness is the intraclass correlation of loss within this flock's own litters; m is the "
    "number of lambs of one litter in the class, as the average lamb finds it. One thing at a time is compared, and triplets are "
    "light as well as many. \"This may be chance\" stands where the interval holds 1, or where all classes of the same kind "
    "together differ no more than chance gives: see Chance or difference."
)


class Where(Enum):
    """On which side of a contrast a lamb stands."""

    FIRST = auto()
    SECOND = auto()
    NEITHER = auto()
    NOT_RECORDED = auto()


@dataclass(frozen=True)
class Side:
    """A class of lambs, named as a sentence needs it, with its loss; the interval is widened by the design effect."""

    name: str
    loss: Proportion
    design_effect: float


@dataclass(frozen=True)
class Contrast:
    """One class against another. `risk_ratio` is how many times as often `first` was lost, with its widened interval.

    `odds_ratio` is for comparison with papers that print one. `likeness` is the intraclass correlation within litters, None
    where the flock's litters do not define it. `note` says for how many lambs the classes are not known. `either` means that
    the two are alike in kind and either may be held against the other, as twins and singles; light lambs are held against
    middling ones, one ram against all others, and never the other way round. `table` is how far all classes of that kind
    differ, None where they are too few or too small to tell.
    """

    id: str
    words: str
    first: Side
    second: Side
    risk_ratio: Ratio
    odds_ratio: float | None
    likeness: float | None
    note: str = ""
    either: bool = False
    table: Difference | None = None

    @property
    def by_chance(self) -> bool:
        """Whether it may be chance: the two are not apart, or all classes of their kind together are not."""
        if self.table is None or not self.table.beyond_chance:
            return True
        return not beyond_one(self.risk_ratio, _counts(self.first), _counts(self.second), self.first.design_effect,
                              self.second.design_effect)


class _Question(NamedTuple):
    """What is compared: two classes by name and counted, and for how many lambs it is not known where they belong."""

    id: str
    names: tuple[str, str]
    tallies: tuple[Tally, Tally]
    unknown: int
    either: bool = False

    @property
    def kind(self) -> str:
        """The split whose classes are compared."""
        return KINDS.get(self.id) or self.id.partition(CLASS_OF)[0]


def contrasts(season: Season) -> tuple[Contrast, ...]:
    """Every comparison for which both classes have enough live-born lambs, in a fixed order."""
    lambs = live_born(season.flock)
    mothers = {lamb: season.flock.mother(lamb) for lamb in lambs}
    short = short_in_groups(season)
    likeness, tables = likeness_within_litters(lambs), loss_differences(season)
    asked = (*_fixed_questions(mothers), *_each("ram", "by ram", ram_label(season.flock), mothers),
             *_each("group", "of group", group_label(season), mothers, short))
    return tuple(found for question in asked if (found := _answer(question, len(lambs), likeness, tables)) is not None)


def _fixed_questions(mothers: Mapping[Lamb, Ewe | None]) -> tuple[_Question, ...]:
    def litter(lamb: Lamb) -> int | None:
        mother = mothers[lamb]
        return len(mother.born) if mother else None

    def helped(lamb: Lamb) -> bool | None:
        help = help_given(lamb, mothers[lamb])
        return None if help == NOT_RECORDED else help != Help.NONE.label

    def lambings(lamb: Lamb) -> int | None:
        mother = mothers[lamb]
        return mother.record.whole("lambings_before") if mother and mother.record else None

    return (
        _sorted(mothers, "triplets_v_twins", "triplets or more", "twins",
                _between(litter, lambda size: size >= TRIPLETS, lambda size: size == TWINS), either=True),
        _sorted(mothers, "twins_v_singles", "twins", "singles",
                _between(litter, lambda size: size == TWINS, lambda size: size == SINGLES), either=True),
        _sorted(mothers, "light_v_middle", f"lambs under {LIGHT_UNDER:g} kg at birth",
                f"those of {LIGHT_UNDER:g} to under {MIDDLE_UNDER:g} kg",
                _between(lambda lamb: lamb.birth_weight, lambda kg: kg < LIGHT_UNDER,
                         lambda kg: LIGHT_UNDER <= kg < MIDDLE_UNDER)),
        _sorted(mothers, "helped_v_not", "lambs helped at birth", "those not helped",
                _between(helped, bool, lambda help: not help)),
        _sorted(mothers, "first_lambing_v_later", "lambs of ewes at their first lambing", "those of ewes that had lambed before",
                _between(lambings, lambda before: before == 0, lambda before: before > 0)),
    )


def _between(
    fact: Callable[[Lamb], Fact | None], first: Callable[[Fact], bool], second: Callable[[Fact], bool],
) -> Callable[[Lamb], Where]:
    """Where a lamb stands by one fact about it."""
    def where(lamb: Lamb) -> Where:
        known = fact(lamb)
        if known is None:
            return Where.NOT_RECORDED
        return Where.FIRST if first(known) else Where.SECOND if second(known) else Where.NEITHER

    return where


def _sorted(
    lambs: Iterable[Lamb], id: str, first: str, second: str, where: Callable[[Lamb], Where], *, either: bool = False,
) -> _Question:
    """The question with each lamb put where it belongs."""
    by: dict[Where, list[Lamb]] = {place: [] for place in Where}
    for lamb in lambs:
        by[where(lamb)].append(lamb)
    tallies = tallied(by[Where.FIRST]), tallied(by[Where.SECOND])
    return _Question(id, (first, second), tallies, len(by[Where.NOT_RECORDED]), either)


def _each(
    id: str, words: str, name: Callable[[Ewe], str | None], mothers: Mapping[Lamb, Ewe | None],
    short: Collection[Lamb] = frozenset(),
) -> Iterator[_Question]:
    """Each ram or group against the others together; of two only one, as the other is the same turned round."""
    of: dict[str, list[Lamb]] = {}
    for lamb, mother in mothers.items():
        if mother and (found := name(mother)):
            of.setdefault(found, []).append(lamb)
    if not of:
        return
    tallies = {found: tallied(of[found], short) for found in sorted(of, key=fold)}
    known = Tally(*map(sum, zip(*tallies.values(), strict=True)))
    unknown = len(mothers) - known.lambs
    if len(tallies) == 2:
        first, second = tallies
        names = f"lambs {words} {first}", f"those {words} {second}"
        yield _Question(f"{id}{CLASS_OF}{first}", names, (tallies[first], tallies[second]), unknown, either=True)
        return
    for one, tally in tallies.items():
        names = f"lambs {words} {one}", f"those of all other {id}s"
        yield _Question(f"{id}{CLASS_OF}{one}", names, (tally, known.without(tally)), unknown)


def _answer(
    question: _Question, lambs: int, likeness: float | None, tables: Mapping[str, Difference],
) -> Contrast | None:
    """The contrast; None where either class is too small, or where neither lost a lamb."""
    a, b = question.tallies
    if min(a.lambs, b.lambs) < FEW or not (a.lost or b.lost):
        return None
    first, second = (_side(name, tally, likeness) for name, tally in zip(question.names, question.tallies, strict=True))
    risk = widened_relative_risk((a.lost, a.lambs), (b.lost, b.lambs), first.design_effect, second.design_effect)
    odds = odds_ratio(a.lost, a.lambs, b.lost, b.lambs).value
    note = f"not recorded for {question.unknown} of {lambs} live-born lambs" if question.unknown else ""
    found = Contrast(question.id, "", first, second, risk, odds, likeness, note, question.either, tables.get(question.kind))
    return replace(found, words=_words(found))


def _side(name: str, tally: Tally, likeness: float | None) -> Side:
    effect = tally.effect(likeness)
    return Side(name, widened_wilson(tally.lost, tally.lambs, effect), effect)


def _counts(side: Side) -> tuple[int, int]:
    return int(side.loss.numerator), side.loss.denominator


def _words(found: Contrast) -> str:
    """The comparison as a farmer reads it."""
    first, second, risk = found.first, found.second, found.risk_ratio
    (lost, of), (other_lost, other_of) = _counts(first), _counts(second)
    name = capital(first.name)
    counted = f"{lost} of {of} against {other_lost} of {other_of}"
    chance = " This may be chance." if found.by_chance else ""
    if not risk.value or risk.low is None or risk.high is None:
        none, some = (first, second) if not lost else (second, first)
        return f"Of {none.name} none were lost, of {some.name} some were: {counted}.{chance}" if not (lost and other_lost) else (
            f"{name} and {second.name} were all lost: {counted}.")
    return (f"{name} were lost {_times(risk.value)} times as often as {second.name} ({_times(risk.low)} to "
            f"{_times(risk.high)}): {counted}.{chance}")


def _times(ratio: float) -> str:
    """A ratio with the decimals it needs: 12, 2.1, 0.04."""
    return f"{ratio:.0f}" if round(ratio, 1) >= 10 else f"{ratio:.1f}" if ratio >= 0.1 else f"{ratio:.2f}"
