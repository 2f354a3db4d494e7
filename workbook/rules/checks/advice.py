"""What concerns the whole flock at once, beyond what single animals explain: abortions, an illness of several, empties."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from template_builder.layout.alerts import ABORTIONS_CLOSE
from template_builder.layout.illnesses import CASES, WITHIN_DAYS
from template_builder.layout.policy import WEIGHTS
from template_builder.layout.words import shown
from workbook.results.clinical.abortion import Abortion, abortions
from workbook.results.clinical.clusters import clusters
from workbook.results.litters.movements import scan_of
from workbook.results.statistics.proportions import FEW, PER_CENT
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.families import Ewe
from workbook.season.season import Season

_WEIGHT = {weight.id: weight for weight in WEIGHTS}
FLOCK_ALARMS = ("abortion-alarm", "illness-in-several", "many-empty")  # rules told above all figures
ALARM, EMPTIES = _WEIGHT["abortion-alarm"], _WEIGHT["empties-question"]
CLOSE = Limit("Abortions this close together", ABORTIONS_CLOSE.days, "days",
              "Two in a week point to one cause that goes through the flock.", "common practice, no source")


@declare("A101", "abortion-alarm", title="So many ewes aborted, or may have, that the flock may be ill",
         severity=Severity.WARNING,
         why="Most causes of abortion are catching, and some make people ill, above all pregnant women. Mummified lambs, a "
             "litter dead and decayed, and lambs dead or weak well before time count as well.",
         source="common practice, no source; the share stands on Policy",
         uses=("lambs.born",),
         fix="Call your vet about the flock and send samples of the lambs and the afterbirth. Isolate these ewes, wear gloves, "
             "keep pregnant women away, and set no lamb on to them.",
         limits=(Limit(ALARM.title, ALARM.limit, ALARM.unit, ALARM.why, ALARM.source), CLOSE))
def abortion_alarm(season: Season) -> Iterator[Found]:
    """One finding for the flock, at the first ewe concerned, with the others beside it."""
    found = abortions(season)
    ewes = [ewe for ewe in season.flock.ewes.values() if ewe.key in found]
    said = [*_so_many(season, ewes), *_close_together(ewes, found)]
    if said:
        first, *others = ewes
        also = tuple(found[ewe.key].cells[0] for ewe in others)
        yield Found(found[first.key].cells[0], "; ".join(said), str(len(ewes)), also, first.name)


def _so_many(season: Season, ewes: list[Ewe]) -> list[str]:
    """The share in words; nothing below the alarm. Of those scanned in lamb only, as the figure has it."""
    in_lamb = sum(map(_in_lamb, season.flock.ewes.values()))
    counted = list(filter(_in_lamb, ewes))
    alarm = season.policy.weights[ALARM.id]
    if not counted or PER_CENT * len(counted) / in_lamb < alarm:
        return []
    aborted = sum(ewe.aborted for ewe in counted)
    words = f"{aborted} of {in_lamb} ewes scanned in lamb aborted ({PER_CENT * aborted / in_lamb:.1f} %)"
    if more := len(counted) - aborted:
        words += f", {more} more may have"
    return [f"{words}; alarm from {alarm:g} %"]


def _in_lamb(ewe: Ewe) -> bool:
    """Whether she was scanned in lamb; a number below zero is a slip and says nothing."""
    return (ewe.scanned or 0) > 0


def _close_together(ewes: list[Ewe], found: Mapping[str, Abortion]) -> list[str]:
    """The first within a week of each other, in words; nothing where no two were, or the days are not written."""
    dated = sorted((day, ewe.name) for ewe in ewes if (day := found[ewe.key].day))
    for (first, _), (second, _) in pairwise(dated):
        if (second - first).days <= CLOSE.value:
            *told, last = [f"{name} on {shown(day)}" for day, name in dated if 0 <= (day - first).days <= CLOSE.value]
            return [f"{', '.join(told)} and {last}, within {CLOSE.value:g} days"]
    return []


@declare("A102", "illness-in-several", title="Several animals fell ill of one thing within a week", severity=Severity.WARNING,
         why="Three cases close together point to a germ, the feed or how the pens are kept, and more may follow.",
         source="common practice, no source", uses=("lambs.cause",),
         fix="Ask your vet about the flock now: what it is, what to do for those not yet ill, and what to change.",
         limits=(Limit("Animals ill of one thing", CASES, "animals", "Fewer may be chance.", "common practice, no source"),
                 Limit("Within so many days", WITHIN_DAYS, "days", "From the first to the third.", "common practice, no source")))
def illness_in_several(season: Season) -> Iterator[Found]:
    """One finding for each illness, at the first animal, with the others beside it."""
    for cluster in clusters(season):
        first, *others = cluster.cases
        names = ", ".join(case.name for case in cluster.cases)
        last = cluster.cases[-1].day
        when = f"on {shown(first.day)}" if first.day == last else f"from {shown(first.day)} to {shown(last)}"
        text = f"{len(cluster.cases)} {cluster.animals} with {cluster.illness} {when}: {names}"
        yield Found(first.cell, text, str(len(cluster.cases)), tuple(case.cell for case in others), first.name)


@declare("A103", "many-empty", title="More ewes are empty than a few failing by chance", severity=Severity.WARNING,
         why="A ram that failed, thin ewes or an infection empties many at once; culling them one by one would hide it.",
         source="common practice, no source; the share stands on Policy", uses=("ewes.scanned",),
         fix="Before any of them is sent: was the ram fit and working, were ewes thin at mating, could it be disease? Ask your "
             "vet.",
         limits=(Limit(EMPTIES.title, EMPTIES.limit, EMPTIES.unit, EMPTIES.why, EMPTIES.source),))
def many_empty(season: Season) -> Iterator[Found]:
    """One question for the flock, at the first empty ewe; single ewes of a small flock are no share."""
    scanned = [ewe for ewe in season.flock.ewes.values() if scan_of(ewe) is not None]
    empty = [ewe for ewe in scanned if ewe.scanned == 0]
    limit = season.policy.weights[EMPTIES.id]
    if len(scanned) < FEW or PER_CENT * len(empty) <= limit * len(scanned):
        return
    first, *others = (ewe.record.at("scanned") for ewe in empty if ewe.record)
    share = PER_CENT * len(empty) / len(scanned)
    text = f"{len(empty)} of {len(scanned)} ewes scanned are empty ({share:.1f} %, asked above {limit:g} %)"
    yield Found(first, text, str(len(empty)), tuple(others), empty[0].name)
