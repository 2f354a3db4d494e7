"""What concerns the whole flock at once: abortions beyond what single ewes explain."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from template_builder.layout.choices import Born, Trouble
from template_builder.layout.policy import WEIGHTS
from template_builder.layout.words import shown
from workbook.results.statistics.proportions import PER_CENT
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season

ALARM = next(weight for weight in WEIGHTS if weight.id == "abortion-alarm")
CLOSE = Limit("Abortions this close together", 7, "days", "Two in a week point to one cause that goes through the flock.",
              "common practice, no source")


@declare("A101", "abortion-alarm", title="So many ewes aborted that the flock may be ill", severity=Severity.WARNING,
         why="Most causes of abortion are catching, and some make people ill, above all pregnant women.",
         source="common practice, no source; the share stands on Policy",
         uses=("lambs.born",),
         fix="Call your vet about the flock and send samples of the aborted lambs and the afterbirth. Isolate these ewes, wear "
             "gloves, keep pregnant women away, and set no ewe lamb on to them.",
         limits=(Limit(ALARM.title, ALARM.limit, ALARM.unit, ALARM.why, ALARM.source), CLOSE))
def abortion_alarm(season: Season) -> Iterator[Found]:
    """One finding for the flock, at the first abortion written down, with the others beside it."""
    ewes = season.flock.ewes.values()
    aborted = [(ewe, place) for ewe in ewes if (place := _place(ewe))]
    in_lamb = sum(1 for ewe in ewes if ewe.scanned or ewe.lambed or ewe.aborted)
    if not aborted:
        return
    share = PER_CENT * len(aborted) / in_lamb
    alarm = season.policy.weights[ALARM.id]
    said = _two_close(aborted)
    if share >= alarm:
        said.insert(0, f"{len(aborted)} of {in_lamb} ewes in lamb aborted, {share:.1f} % (alarm from {alarm:g} %)")
    if said:
        first, *others = aborted
        yield Found(first[1], "; ".join(said), str(len(aborted)), tuple(place for _, place in others), first[0].name)


def _place(ewe: Ewe) -> CellRef | None:
    """The first cell that says she aborted."""
    for lamb in ewe.lambs:
        if lamb.born is Born.ABORTED:
            return lamb.record.at("born")
    return next((check.at("trouble") for check in ewe.checks if check["trouble"] is Trouble.ABORTED), None)


def _day(ewe: Ewe) -> date | None:
    checks = (check.day("date") for check in ewe.checks if check["trouble"] is Trouble.ABORTED)
    return ewe.lambed_on or next((day for day in checks if day), None)


def _two_close(aborted: list[tuple[Ewe, CellRef]]) -> list[str]:
    """The first two that aborted within a week, in words; nothing where no two did, or the days are not written."""
    dated = sorted((day, ewe.name) for ewe, _ in aborted if (day := _day(ewe)))
    for (day, name), (next_day, next_name) in pairwise(dated):
        if (next_day - day).days <= CLOSE.value:
            return [f"{name} on {shown(day)} and {next_name} on {shown(next_day)}, within {CLOSE.value:g} days"]
    return []
