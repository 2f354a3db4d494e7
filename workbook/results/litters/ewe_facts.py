"""What the figures count of ewes and of lambs at weaning: who was helped, who rears none, who went to the ram."""

from collections.abc import Callable, Iterable, Mapping

from template_builder.layout.choices import EweLeft, Help, RearedBy, Weighed, WhyHelped, YesNo
from workbook.results.litters.movements import scan_of
from workbook.results.litters.splits import live_born
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups, ewe_with, lost_after_weaning, weaned_on
from workbook.season.season import Season


def was_helped(ewe: Ewe) -> bool | None:
    """Whether a ewe was helped: as written for her, else for her lambs; a reason for it says so too. None where nothing does."""
    if ewe.lambing is not None and (help := ewe.lambing.choice("help", Help)):
        return help is not Help.NONE
    if why_helped(ewe) is not None:
        return True
    helped = [answer for lamb in ewe.born if lamb.named and (answer := lamb.record.choice("helped", YesNo))]
    return YesNo.YES in helped if helped else None


def why_helped(ewe: Ewe) -> WhyHelped | None:
    return ewe.lambing.choice("why_helped", WhyHelped) if ewe.lambing is not None else None


def rears_none(ewe: Ewe, groups: Groups) -> bool:
    """Whether no lamb booked with her is alive or was sold alive, or she died or was lost before her lambs were weaned."""
    if ewe.lost:
        weaned = weaned_on(groups, ewe)
        if weaned is None or ewe.left_on is None or ewe.left_on <= weaned:
            return True
    return all(lamb.lost for lamb in ewe.suckled)


def died(ewe: Ewe) -> bool:
    return ewe.record is not None and ewe.record["left_how"] is EweLeft.DIED


def reared(season: Season) -> tuple[Lamb, ...]:
    """Home-born lambs still here, sold alive, or lost only after the weaning day of their group."""
    groups = Groups.of(season)
    return tuple(
        lamb for lamb in live_born(season.flock)
        if not lamb.lost or lost_after_weaning(groups, ewe_with(season.flock, lamb), lamb)
    )


def pets(season: Season) -> tuple[Lamb, ...]:
    """Home-born lambs put on the bottle, also those gone since."""
    return tuple(lamb for lamb in live_born(season.flock) if lamb.reared_by is RearedBy.PET)


def mating_weight(ewe: Ewe) -> float | None:
    """Her last weight in kg from before this lambing, written as a mating weight."""
    before = [
        kg for row in ewe.weights
        if row["occasion"] is Weighed.MATING and (kg := row.number("kg")) is not None
        and (day := row.day("date")) is not None and (ewe.lambed_on is None or day < ewe.lambed_on)
    ]
    return before[-1] if before else None


# Facts of a ewe that figures count, besides the lines of the account: their headings in the summary, and whether one holds.
EWE_FACTS: Mapping[str, tuple[str, Callable[[Ewe, Groups], bool]]] = {
    "ewe_scanned": ("Ewe: scanned", lambda ewe, _: scan_of(ewe) is not None),
    "ewe_in_lamb": ("Ewe: scanned in lamb", lambda ewe, _: (scan_of(ewe) or 0) > 0),
    "ewe_empty": ("Ewe: scanned empty", lambda ewe, _: scan_of(ewe) == 0),
    "ewe_aborted": ("Ewe: in lamb and aborted", lambda ewe, _: (scan_of(ewe) or 0) > 0 and ewe.aborted),
    "ewe_lambed": ("Ewe: lambed", lambda ewe, _: ewe.lambed),
    "ewe_help_known": ("Ewe: lambed, help known", lambda ewe, _: ewe.lambed and was_helped(ewe) is not None),
    "ewe_helped": ("Ewe: helped", lambda ewe, _: ewe.lambed and bool(was_helped(ewe))),
    "ewe_rears_none": ("Ewe: rears none", lambda ewe, groups: ewe.lambed and rears_none(ewe, groups)),
    "ewe_died": ("Ewe: died", lambda ewe, _: died(ewe)),
}
# The same for lambs: the lambs it holds of.
LAMB_FACTS: Mapping[str, tuple[str, Callable[[Season], tuple[Lamb, ...]]]] = {
    "reared": ("Lamb: reared", reared),
    "bottle": ("Lamb: put on the bottle", pets),
}


def holding(fact: str, ewes: Iterable[Ewe], groups: Groups) -> tuple[Ewe, ...]:
    """The ewes of which a fact of `EWE_FACTS` holds."""
    holds = EWE_FACTS[fact][1]
    return tuple(ewe for ewe in ewes if holds(ewe, groups))
