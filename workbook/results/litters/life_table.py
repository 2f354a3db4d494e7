"""The life table of live-born lambs by stage: how many were at risk in each, and how they went.

The stages are the day of birth or the next day, then to turnout, to marking and to weaning by the dates of each lamb's own
group; in a flock without such dates they go by age. Each lamb lost or sold stands in the stage of the day it is counted on
(`exits` says which). A lamb is at risk in a stage if it was here when the stage began: one sold is at risk in none after,
and one that has not come so far is not yet at risk.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from workbook.results.litters.exits import DIED, MISSING, SHORT, SOLD, exits
from workbook.results.litters.litter_mates import litter_of
from workbook.results.litters.splits import live_born
from workbook.results.statistics.indicators import StageLoss, stage_losses
from workbook.results.statistics.proportions import Proportion, effect_of_clusters, widened_wilson
from workbook.season.cells import CellRef
from workbook.season.families import Flock, Lamb
from workbook.season.groups import Groups, born_on, ewe_with, group_name
from workbook.season.season import Season, once

BIRTH_DAYS = 1  # days of age: the day of birth and the next day
FIRST_WEEK = 7  # days of age
BIRTH_STAGE, WEEK_STAGE, LATER_STAGE = "day of birth or next day", "2 to 7 days", "later"
# Stages after the first two days by the Groups column that ends each.
DATED_STAGES: tuple[tuple[str, str], ...] = (("turnout", "to turnout"), ("marking", "to marking"), ("weaning", "to weaning"))
AFTER_WEANING, WHEN_NOT_KNOWN = "after weaning", "not known when"
BY_DATE = (BIRTH_STAGE, *(label for _, label in DATED_STAGES), AFTER_WEANING)
BY_AGE = (BIRTH_STAGE, WEEK_STAGE, LATER_STAGE)


@dataclass(frozen=True)
class LifeStage:
    """One stage. `at_risk` are lambs here when it began, None for those of whom it is not known when they went; `still` are
    in it at the season's moment. `survived` is the share of live-born alive at its end, had none been sold: lambs sold or
    still in a stage count half in it (actuarial method, Cutler and Ederer 1958, from memory).
    """

    label: str
    at_risk: int | None
    died: int
    missing: int
    short: int
    sold: int
    still: int
    of_live_born: Proportion
    of_at_risk: Proportion | None
    survived: float | None
    rows: tuple[CellRef, ...] = ()
    design_effect: float = 1.0  # of the share of live-born

    @property
    def lost(self) -> int:
        return self.died + self.missing + self.short


class Span(NamedTuple):
    """A stage in the life of one lamb; None is a day not known, or at the end one without limit."""

    label: str
    first: date | None
    last: date | None


class _Tally:
    """Counts by stage while the table is made."""

    def __init__(self) -> None:
        self.at_risk, self.still = Counter[str](), Counter[str]()
        self.gone: dict[str, Counter[str]] = {}
        self.litters, self.lost = defaultdict[str, Counter[object]](Counter), defaultdict[str, Counter[object]](Counter)
        self.rows: dict[str, list[CellRef]] = {}


@once
def life_table(season: Season) -> tuple[LifeStage, ...]:
    """The stages in order of time; those lost or sold on a day that nothing tells stand last, in a stage of their own.

    A stage that no lamb can be in is left out.
    """
    lambs, gone, tally = live_born(season.flock), exits(season), _Tally()
    dated = has_stage_dates(season)
    spans_of, today = _spans(season, dated), season.as_of.date()
    for lamb in lambs:
        spans, exit = spans_of(lamb), gone.get(lamb)
        stage = None if exit is None else WHEN_NOT_KNOWN if exit.day is None else _stage_on(spans, exit.day)
        for span in spans:
            if span.label == stage or span.first is None or span.first <= today:
                tally.at_risk[span.label] += 1
                tally.litters[span.label][litter_of(lamb)] += 1
            if span.label == stage:
                break
        if exit is not None and stage is not None:
            tally.gone.setdefault(stage, Counter())[exit.how] += 1
            if exit.lost:
                tally.lost[stage][litter_of(lamb)] += 1
                tally.rows.setdefault(stage, []).append(exit.place)
        else:
            tally.still.update(span.label for span in spans if _within(span, today))
    return _table(tally, Counter(map(litter_of, lambs)), BY_DATE if dated else BY_AGE)


def _table(tally: _Tally, litters: Counter[object], stages: Sequence[str]) -> tuple[LifeStage, ...]:
    """The table from its counts, and the live-born lambs of each litter."""
    born_alive = litters.total()
    open_end = AFTER_WEANING
    shown = [name for name in stages if tally.gone.get(name) or name == BIRTH_STAGE or tally.at_risk[name] and name != open_end]
    lost = [sum(number for how, number in tally.gone.get(name, Counter()).items() if how != SOLD) for name in shown]
    leaving = [tally.gone.get(name, Counter())[SOLD] + tally.still[name] for name in shown]
    effects = [(_effect(tally.lost[name], litters), _effect(tally.lost[name], tally.litters[name])) for name in shown]
    found = stage_losses(born_alive, [tally.at_risk[name] for name in shown], lost, leaving, effects)
    rows = [_row(tally, name, loss, effect) for name, loss, (effect, _) in zip(shown, found, effects, strict=True)]
    if unknown := tally.gone.get(WHEN_NOT_KNOWN):
        number, effect = sum(unknown.values()) - unknown[SOLD], _effect(tally.lost[WHEN_NOT_KNOWN], litters)
        lost_then = StageLoss(number, widened_wilson(number, born_alive, effect), None, None)
        rows.append(_row(tally, WHEN_NOT_KNOWN, lost_then, effect))
    return tuple(rows)


def _effect(lost: Counter[object], of: Counter[object]) -> float:
    """The design effect of a loss, lambs of one litter taken as alike."""
    return effect_of_clusters((lost[litter], lambs) for litter, lambs in of.items())


def _row(tally: _Tally, name: str, loss: StageLoss, effect: float) -> LifeStage:
    gone = tally.gone.get(name, Counter[str]())
    return LifeStage(
        name, None if name == WHEN_NOT_KNOWN else tally.at_risk[name], gone[DIED], gone[MISSING], gone[SHORT], gone[SOLD],
        tally.still[name], loss.of_live_born, loss.of_alive_at_start, loss.survived, tuple(tally.rows.get(name, ())), effect,
    )


def has_stage_dates(season: Season) -> bool:
    """Whether any group or ewe has a date that ends a stage."""
    return any(row.day(column) for row in season.rows("groups") for column, _ in DATED_STAGES) or any(
        ewe.lambing is not None and ewe.lambing.day("turned_out_on") for ewe in season.flock.ewes.values())


def _spans(season: Season, dated: bool) -> Callable[[Lamb], tuple[Span, ...]]:
    """The stages of each lamb."""
    flock, groups = season.flock, Groups.of(season)

    def of(lamb: Lamb) -> tuple[Span, ...]:
        born = born_on(flock, lamb)
        ends = _stage_ends(lamb, flock, groups) if dated else _ages(born)
        return tuple(_in_time(born, ends))

    return of


def _in_time(born: date | None, ends: Iterator[tuple[date | None, str]]) -> Iterator[Span]:
    """Stages one after the other; one whose end has passed when it would begin is left out."""
    last = None if born is None else born + timedelta(days=BIRTH_DAYS)
    yield Span(BIRTH_STAGE, born, last)
    for end, label in ends:
        first = None if last is None else last + timedelta(days=1)
        if end is None or first is None or first <= end:
            yield Span(label, first, end)
            last = end if end is not None else last


def _ages(born: date | None) -> Iterator[tuple[date | None, str]]:
    yield None if born is None else born + timedelta(days=FIRST_WEEK), WEEK_STAGE
    yield None, LATER_STAGE


def _stage_ends(lamb: Lamb, flock: Flock, groups: Groups) -> Iterator[tuple[date | None, str]]:
    """The last day of each dated stage for a lamb, from the ewe it runs with; stages without a date are left out."""
    ewe = ewe_with(flock, lamb) or flock.mother(lamb)
    own = ewe.lambing.day("turned_out_on") if ewe is not None and ewe.lambing is not None else None
    weaned = False
    for column, label in DATED_STAGES:
        day = (own if column == "turnout" else None) or groups.day(group_name(ewe), column)
        weaned = day is not None and column == "weaning"
        if day is not None:
            yield day, label
    if weaned:
        yield None, AFTER_WEANING


def _within(span: Span, day: date) -> bool:
    """Whether a stage has begun by a day and is not over at its end."""
    return span.last is not None and span.last > day and (span.first is None or span.first <= day)


def _stage_on(spans: Sequence[Span], day: date) -> str:
    """The stage a lamb was in on a day. A day before birth is a slip of the day of birth; without the day of birth the
    first two days cannot be told from the stage after them.
    """
    first, *later = spans
    if first.last is not None and day <= first.last:
        return first.label
    ends = [span for span in later if span.last is not None or first.last is not None or span.label == AFTER_WEANING]
    return next((span.label for span in ends if span.last is None or day <= span.last), WHEN_NOT_KNOWN)
