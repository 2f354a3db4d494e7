"""The account of each group: lambs scanned, marked and weaned, and what was lost between, as far as anyone counted.

A group known by counts only has no book: a loss is the difference of two numbers. Where a later number is the higher one
the rise stands as "more", so that every account balances:

    before + more = after + lost + sold + moved
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from template_builder.layout.choices import Born, HowRecorded, LambLeft, Stage
from template_builder.layout.words import capital, shown, so_many
from workbook.results.litters.counts import booked_in
from workbook.results.litters.movements import scan_of
from workbook.results.statistics.proportions import PER_CENT
from workbook.season.cells import CellRef, Record
from workbook.season.families import Ewe, Flock, Lamb
from workbook.season.groups import Groups, born_on, ewe_with, group_name
from workbook.season.matching import fold
from workbook.season.season import Season, once

TALLIES = ("tally_0", "tally_1", "tally_2", "tally_3", "tally_4")
FOUR_OR_MORE = len(TALLIES) - 1  # a ewe tallied as "four or more" counts with four lambs
SCANNED, COUNTED, BOOK = "scanned", "counted", "from the book"

# Stage -> the name of its lines: lambs there, and lost, sold and more since the stage before.
LINE_OF = {Stage.MARKING: "marking", Stage.WEANING: "weaning"}
LAMBS_AT = {Stage.TURNOUT: "turned_out", Stage.MARKING: "marked", Stage.WEANING: "weaned"}

# Every line of a group's account, with what it counts.
GROUP_LINES: Mapping[str, str] = {
    "ewes_to_ram": "ewes that went to the ram", "ewes_scanned": "ewes scanned", "ewes_empty": "ewes scanned empty",
    "scanned": "lambs scanned", **{line: f"lambs there at {stage.label}" for stage, line in LAMBS_AT.items()},
    **{f"{line}_{words}": f"lambs {told} {stage.label}, since the last stage known" for stage, words in LINE_OF.items()
       for line, told in (("lost_to", "lost to"), ("sold_to", "sold to"), ("moved_by", "on the bottle or with another group by"),
                          ("more_at", "beyond those there before, at"))},
    **{f"ewes_{line}": f"ewes counted at {stage.label}" for stage, line in LAMBS_AT.items()},
}


@dataclass(frozen=True)
class Scan:
    """What was scanned in a group: ewes by lambs seen (from 0), from its tally or from its ewes."""

    ewes_with: Mapping[int, int]
    tallied: bool
    place: CellRef

    @property
    def ewes(self) -> int:
        return sum(self.ewes_with.values())

    @property
    def in_lamb(self) -> int:
        return self.ewes - self.ewes_with.get(0, 0)

    @property
    def lambs(self) -> int:
        return sum(lambs * ewes for lambs, ewes in self.ewes_with.items())

    @property
    def words(self) -> str:
        parts = [f"{ewes} with {lambs}" for lambs, ewes in sorted(self.ewes_with.items()) if lambs and ewes]
        more = self.tallied and self.ewes_with.get(FOUR_OR_MORE)
        counted = f"; four or more counted as {FOUR_OR_MORE}" if more else ""
        expected = f"{so_many(self.lambs, 'lamb')} expected of {so_many(self.ewes, 'ewe')} scanned"
        return f"{expected} ({', '.join(parts) or 'all empty'}{counted})"


@dataclass(frozen=True)
class Standing:
    """How many lambs a group had at a stage, and on what that rests: "scanned", "counted" or "from the book"."""

    stage: str
    lambs: int
    basis: str
    place: CellRef
    on: date | None = None


@dataclass(frozen=True)
class Step:
    """What became of a group's lambs from one stage to the next known one: before + more = after + lost + sold + moved.

    `moved` are lambs put on the bottle or that went to another group, less those that came; below zero more came.
    """

    before: Standing
    after: Standing
    lost: int
    sold: int
    moved: int
    more: int

    @property
    def words(self) -> str:
        start, end = self.before, self.after
        numbers = f"{end.lambs} at {end.stage}, {start.lambs} {_at(start)}"
        numbers += f", {self.sold} sold" if self.sold else ""
        numbers += f", {self.moved} on the bottle or with another group" if self.moved > 0 else ""
        numbers += f", {-self.moved} came from elsewhere" if self.moved < 0 else ""
        if self.more:
            return f"{self.more} more at {end.stage} than {_at(start)}: {numbers}"
        if not self.lost:
            return f"none lost {_since(start)} {end.stage}: {numbers}"
        share = f" ({PER_CENT * self.lost / start.lambs:.1f} %)" if start.lambs else ""
        return f"{self.lost} lost {_since(start)} {end.stage}{share}: {numbers}"


def _at(standing: Standing) -> str:
    return "scanned" if standing.stage == SCANNED else f"at {standing.stage}"


def _since(standing: Standing) -> str:
    return "from scanning to" if standing.stage == SCANNED else f"from {standing.stage} to"


@dataclass(frozen=True)
class GroupAccount:
    """One group's account. `by_count` says that it is known by counts only.

    `lines` by id: ewes_to_ram, ewes_scanned, ewes_empty, scanned, turned_out (a memo outside the sums), marked,
    lost_to_marking, sold_to_marking, moved_by_marking, more_at_marking, the same for weaning, and the ewes counted at each
    stage. None is not known. Where marking is not known, what was lost to weaning is worked out from the stage before.
    """

    group: str
    place: CellRef
    how_recorded: str
    by_count: bool
    scan: Scan | None
    steps: tuple[Step, ...]
    lines: Mapping[str, int | None]

    @property
    def words(self) -> str:
        """The account in a few sentences."""
        said = [self.scan.words] if self.scan else []
        said += [step.words for step in self.steps]
        return ". ".join(capital(words) for words in said) + "." if said else "Nothing counted yet."

    @property
    def known(self) -> int | None:
        """Lambs known to have been carried: scanned, and those counted beyond; None unless followed from scan to weaning."""
        scanned = self.lines["scanned"]
        if scanned is None or self.lines["weaned"] is None:
            return None
        return scanned + sum(step.more for step in self.steps)

    @property
    def lost(self) -> int | None:
        """Lambs lost from scan to weaning; None unless followed from one to the other."""
        return None if self.known is None else sum(step.lost for step in self.steps)


@once
def group_accounts(season: Season) -> tuple[GroupAccount, ...]:
    """The account of every group on Groups, in the order of its rows."""
    groups = Groups.of(season)
    return tuple(_account(season, groups, name, row) for name, row in groups.rows.items())


def unbalanced(account: GroupAccount) -> list[Step]:
    """Steps that do not add up; none unless the program has a fault."""
    return [
        step for step in account.steps
        if step.before.lambs + step.more != step.after.lambs + step.lost + step.sold + step.moved
        or min(step.lost, step.more) != 0
    ]


def _account(season: Season, groups: Groups, name: str, row: Record) -> GroupAccount:
    how, by_count = row.choice("how_recorded", HowRecorded), groups.by_count(name)
    scan = _scan(season, groups, name, row)
    counted = {stage: _counted(season, name, stage) for stage in Stage}
    lines: dict[str, int | None] = {
        "ewes_to_ram": _whole(row, "ewes_to_ram"), "ewes_scanned": scan.ewes if scan else None,
        "ewes_empty": scan.ewes - scan.in_lamb if scan else None, "scanned": scan.lambs if scan else None,
    }
    standings = {
        stage: counted[stage] or (None if by_count else _from_book(season, name, row, stage)) for stage in Stage
    }
    lines |= {line: at.lambs if (at := standings[stage]) else None for stage, line in LAMBS_AT.items()}
    start = Standing(SCANNED, scan.lambs, SCANNED, scan.place) if scan else standings[Stage.TURNOUT]
    left = Left() if by_count else _left(season.flock, name)
    steps: list[Step] = []
    for stage, words in LINE_OF.items():
        after = standings[stage]
        step = _step(start, after, left) if start and after else None
        lines |= _lines_of(step, words)
        steps += [step] if step else []
        start = after or start
    lines |= {f"ewes_{LAMBS_AT[stage]}": _ewes_counted(season, name, stage) for stage in Stage}
    return GroupAccount(row.words("group"), row.at("group"), how.label if how else "", by_count, scan, tuple(steps), lines)


def _lines_of(step: Step | None, stage: str) -> dict[str, int | None]:
    lost, sold, moved, more = (step.lost, step.sold, step.moved, step.more) if step else (None,) * 4
    return {f"lost_to_{stage}": lost, f"sold_to_{stage}": sold, f"moved_by_{stage}": moved, f"more_at_{stage}": more}


Days = tuple[date | None, ...]


class Left(NamedTuple):
    """The days on which lambs of a group were sold, went to another group or on the bottle, or came from elsewhere."""

    sold: Days = ()
    went: Days = ()
    came: Days = ()


def _step(before: Standing, after: Standing, left: Left) -> Step:
    """From one stage to the next; what happened on a day not written happened before the first stage."""
    sold, went, came = (sum(_between(day, before.on, after.on) for day in days) for days in left)
    fewer = before.lambs - after.lambs - sold - went + came
    return Step(before, after, max(0, fewer), sold, went - came, max(0, -fewer))


def _between(day: date | None, start: date | None, end: date | None) -> bool:
    if day is None or end is None:
        return start is None
    return (start is None or start < day) and day <= end


def _left(flock: Flock, name: str) -> Left:
    """What happened to the lambs of one group, from their rows. Lambs dead or missing are found by counting."""
    sold: list[date | None] = []
    went: list[date | None] = []
    came: list[date | None] = []
    for lamb in flock.lambs:
        if lamb.born is not Born.ALIVE:
            continue
        with_ewe = ewe_with(flock, lamb)
        bearer = flock.mother(lamb)
        first = bearer.group if bearer else ""
        last = fold(group_name(with_ewe, lamb.left_on) or "")
        if name in (first, last) and first != last:
            (went if first == name else came).append(_moved_on(flock, lamb, with_ewe))
        if last == name and lamb.left_how is LambLeft.SOLD:
            sold.append(lamb.left_on)
    return Left(tuple(sold), tuple(went), tuple(came))


def _moved_on(flock: Flock, lamb: Lamb, with_ewe: Ewe | None) -> date | None:
    """The day a lamb came to where it is: set on or put on the bottle, else turned out with its ewe, else born."""
    out = with_ewe.lambing.day("turned_out_on") if with_ewe and with_ewe.lambing else None
    return lamb.moved_on or out or born_on(flock, lamb)


def _scan(season: Season, groups: Groups, name: str, row: Record) -> Scan | None:
    """From the tally of a group known by counts only, else from its ewes, else from its tally."""
    tally, ewes = _tally(row), _ewes(season, groups, name, row)
    return tally or ewes if groups.by_count(name) else ewes or tally


def _tally(row: Record) -> Scan | None:
    classes = {lambs: number for lambs, column in enumerate(TALLIES) if (number := _whole(row, column)) is not None}
    return Scan(classes, True, row.at("tally_ewes")) if classes else None


def _ewes(season: Season, groups: Groups, name: str, row: Record) -> Scan | None:
    by_count, classes = groups.by_count(name), dict[int, int]()
    for ewe in season.flock.ewes.values():
        if ewe.group == name and (scan := scan_of(ewe)) is not None and by_count is groups.counted_with_group(ewe):
            classes[scan] = classes.get(scan, 0) + 1
    return Scan(dict(sorted(classes.items())), False, row.at("group")) if classes else None


def _whole(row: Record, column: str) -> int | None:
    """A number of animals; one below zero is none."""
    number = row.whole(column)
    return None if number is None or number < 0 else number


def _of_stage(season: Season, name: str, stage: Stage, column: str) -> Record | None:
    """The last dated count of a group at a stage; of two on one day the higher."""
    rows = [
        row for row in season.rows("counts")
        if row["stage"] is stage and fold(row.words("group")) == name and row.day("date") and _whole(row, column) is not None
    ]
    return max(rows, key=lambda row: (row.day("date") or date.min, row.whole(column) or 0), default=None)


def _counted(season: Season, name: str, stage: Stage) -> Standing | None:
    row = _of_stage(season, name, stage, "lambs")
    return None if row is None else Standing(stage.label, row.whole("lambs") or 0, COUNTED, row.at("lambs"), row.day("date"))


def _ewes_counted(season: Season, name: str, stage: Stage) -> int | None:
    row = _of_stage(season, name, stage, "ewes")
    return None if row is None else row.whole("ewes")


def _from_book(season: Season, name: str, row: Record, stage: Stage) -> Standing | None:
    """The lambs booked in a group on the day of the stage, where the day has passed and the group has lambs at all."""
    day = row.day(stage.name.lower())
    if day is None or day > season.as_of.date() or not any(_lambs_of(season.flock, name)):
        return None
    return Standing(stage.label, len(booked_in(season.flock, name, day)), BOOK, row.at(stage.name.lower()), day)


def _lambs_of(flock: Flock, name: str) -> Iterator[Lamb]:
    for lamb in flock.lambs:
        group = group_name(ewe_with(flock, lamb), lamb.left_on)
        if group is not None and fold(group) == name:
            yield lamb


def tally_words(row: Record) -> str:
    """What is wrong with a group's tally, empty where it adds up or there is none."""
    tally, ewes = _tally(row), _whole(row, "tally_ewes")
    if tally is None or ewes is None or tally.ewes == ewes:
        return ""
    return f"{shown(ewes)} ewes scanned, but its tally comes to {tally.ewes}"
