"""What of a season is still to come, for paper: ewes still to lamb, animals that are here, counts not made, looks tonight."""

from collections.abc import Iterator
from datetime import date, datetime, time

from template_builder.layout.alerts import SOON, URGENCIES
from template_builder.layout.choices import Born, Stage, WeightUnit
from template_builder.layout.columns import LINE
from template_builder.layout.laying import in_order
from template_builder.layout.words import shown, so_many, so_many_are
from template_builder.paper.animals import (
    PaperEwe,
    PaperFlock,
    PaperLamb,
    PaperLook,
    by_due,
    by_mark,
    day_of,
    paper_ewe,
    to_count,
)
from template_builder.plan.feeding import FeedingPlan, fed, feeding_plan
from workbook.results.advice.problem_ewes import ProblemEwe, problem_ewes
from workbook.results.clinical.looks import last_condition
from workbook.season.cells import Record
from workbook.season.families import Ewe
from workbook.season.groups import ewe_with
from workbook.season.matching import fold
from workbook.season.mating import group_of, groups, last_possible_day
from workbook.season.season import Season

_MIDNIGHT = time(0)


def paper_flock(season: Season) -> PaperFlock:
    """The season at its moment in the words of the paper sheets."""
    here = {ewe.key: _ewe(ewe) for ewe in season.flock.ewes.values() if ewe.record is not None and not ewe.gone}
    named = tuple(row.words("group") for row in groups(season).values())
    waiting = tuple(here[ewe.key] for ewe in still_to_lamb(season) if ewe.key in here)
    return PaperFlock(
        ewes=tuple(sorted(here.values(), key=lambda ewe: in_order(ewe.name))),
        to_lamb=waiting,
        lines=lines_left(season),
        lambs=tuple(sorted(_lambs(season), key=lambda lamb: (by_mark(lamb), in_order(lamb.name)))),
        groups=named, counts=tuple(_counts(season, named)),
        tonight=tuple(_look(problem) for problem in problem_ewes(season, season.as_of) if problem.urgency <= SOON),
        unit=season.settings.choice("weights_in", WeightUnit),
        feeding=fed_before_lambing(season).of_those({ewe.name for ewe in waiting}),
    )


def fed_before_lambing(season: Season) -> FeedingPlan:
    """The feeding groups of all ewes in lamb that are here, whether they have lambed or not: those of Plan."""
    here = (ewe for ewe in season.flock.ewes.values() if ewe.record is not None and not ewe.gone)
    found = (fed({**ewe.record.values, "ewe": ewe.name}, last_condition(ewe), _pen(ewe)) for ewe in here if ewe.record)
    return feeding_plan([ewe for ewe in found if ewe], season.settings.number)


def _ewe(ewe: Ewe) -> PaperEwe:
    assert ewe.record is not None, ewe.name
    return paper_ewe({**ewe.record.values, "ewe": ewe.name}, _pen(ewe))


def _pen(ewe: Ewe) -> str:
    return next((pen for row in (ewe.lambing, ewe.laid) if row is not None and (pen := row.text("pen"))), "")


def still_to_lamb(season: Season) -> list[Ewe]:
    """Ewes of Ewes that may still lamb, in the order of their rows on Lambing; those without a row there after them, by due day.

    Not who lambed, aborted, left or was scanned empty, nor who is past her last possible day. Before anything is laid ready on
    Lambing only who was scanned in lamb: from mating on every ewe may lamb, and there is nothing yet to write on.
    """
    found = [ewe for ewe in _not_lambed(season) if not _past(season, ewe)]
    placed = [ewe for ewe in found if ewe.laid is not None or ewe.lambing is not None]
    laid_ready = bool(season.rows("lambing"))
    rest = [ewe for ewe in found if ewe.laid is None and ewe.lambing is None and (laid_ready or ewe.scanned)]
    return sorted(placed, key=_row) + sorted(rest, key=lambda ewe: by_due({"ewe": ewe.name, "due": ewe.due}))


def _not_lambed(season: Season) -> list[Ewe]:
    return [ewe for ewe in season.flock.ewes.values()
            if ewe.record is not None and not (ewe.gone or ewe.delivered or ewe.scanned == 0)]


def _past(season: Season, ewe: Ewe) -> bool:
    """Whether her last possible day is over."""
    last = last_possible_day(season, ewe, group_of(ewe, groups(season)))
    return last is not None and season.as_of.date() > last


def _row(ewe: Ewe) -> int:
    return min(record.row for record in (ewe.laid, ewe.lambing) if record is not None)


def lines_left(season: Season) -> tuple[int, ...] | None:
    """The lines of a day book on which nothing is written, on Lambing or Lambs; None where rows are laid by ewe."""
    lines = [line for row in season.rows("lambing") if (line := _line(row)) is not None]
    if not lines:
        return None
    used = {_line(row) for sheet in ("lambing", "lambs") for row in season.rows(sheet) if row.touched}
    return tuple(line for line in lines if line not in used)


def _line(row: Record) -> int | None:
    return row.whole(LINE.id)


def _lambs(season: Season) -> Iterator[PaperLamb]:
    """The lambs that are here and called something, with the mark of the ewe they run with."""
    for lamb in season.flock.lambs:
        if lamb.named and lamb.born is Born.ALIVE and lamb.left_how is None:
            ewe = ewe_with(season.flock, lamb)
            mark = ewe.record.text("mark") if ewe and ewe.record else None
            yield PaperLamb(lamb.tag or lamb.name, mark or "")


def _counts(season: Season, named: tuple[str, ...]) -> Iterator[tuple[str, Stage]]:
    """Groups at stages not counted yet; a count of no group was one of the whole flock."""
    made = {(fold(row.words("group")), row.choice("stage", Stage)) for row in season.rows("counts")}
    for group, stage in to_count(named):
        if not made & {(fold(group), stage), (fold(""), stage)}:
            yield group, stage


def _look(problem: ProblemEwe) -> PaperLook:
    return PaperLook(problem.name, URGENCIES[problem.urgency], problem.alert, problem.why, _since(problem.since), problem.pen,
                     problem.next_step, "yes" if problem.call_vet else "")


def _since(moment: date | None) -> str:
    """The day, and the hour where one was written."""
    if isinstance(moment, datetime) and moment.time() != _MIDNIGHT:
        return f"{day_of(moment)} {moment:%H:%M}"
    return "" if moment is None else day_of(moment)


def in_words(season: Season, flock: PaperFlock) -> str:
    """What is on the paper, for who asked for it, and who is not that might be looked for."""
    parts = [f"{len(flock.to_lamb)} still to lamb", f"{so_many(len(flock.ewes), 'ewe')} here"]
    parts += [f"{so_many(len(flock.lambs), 'lamb')} to weigh"] if flock.lambs else []
    parts += [f"{len({look.ewe for look in flock.tonight})} to look at"] if flock.tonight else []
    told = ", ".join(parts) + f"; counts not made yet: {len(flock.counts) or 'none'}"
    past = sum(_past(season, ewe) for ewe in _not_lambed(season))
    if not past:
        return told
    ewes = so_many_are(past, "ewe", "not lambed is past her", "not lambed are past their")
    return f"{told}\n{ewes} last possible day by {shown(season.as_of.date())} and on no shed sheet; --as-of takes another day"
