"""What each figure does not know of, from the records that are not there."""

from collections.abc import Mapping

from template_builder.layout.choices import WhyHelped
from workbook.results.litters.ewe_facts import mating_weight, reared
from workbook.results.litters.ewes_in import EwesIn
from workbook.results.litters.known import Unknown, unseen_at_weaning, weaning_kg
from workbook.results.litters.movements import scan_of
from workbook.results.litters.shortages import short_in, shortages
from workbook.season.families import BORN
from workbook.season.season import Season


def assisted_by(reason: WhyHelped | None) -> tuple[str, str]:
    """The id of the figure of ewes helped for a reason, None for one not recorded, and the reason in words."""
    id, label = (reason.name.lower(), reason.label) if reason else ("reason_not_recorded", "reason not recorded")
    return f"assisted_{id}", label


HELPED = "Ewes that were helped"


def helped_words(label: str) -> str:
    """Who is counted of the ewes helped, by the reason in words."""
    return f"{HELPED} ({label})"


def not_known(
    season: Season, ewes: EwesIn, litter_weights: Mapping[str, float], *, lambed: bool, weaned: bool,
) -> dict[str, Unknown]:
    """What each figure does not know of, by figure."""
    flock = season.flock
    scanned = sum(scan_of(ewe) is not None for ewe in ewes.all)
    unscanned = sum(scan_of(ewe) is None and not ewe.gone for ewe in ewes.all)
    blank = sum(lamb.named and not lamb.bought and lamb.record["born"] is None for lamb in flock.lambs)
    helpless = len(ewes.that("ewe_lambed")) - len(ewes.that("ewe_help_known"))
    lambs = [lamb for lamb in reared(season) if lamb.left_how is None or weaning_kg(lamb) is not None]
    weighed = sum(weaning_kg(lamb) is not None and ewes.holds_mother(lamb) for lamb in lambs)
    whole = len(lambs) - min(len(lambs) - weighed, short_in(season, ewes.went.stated))
    litters = sum(ewe.key in litter_weights or bool(ewe.reared_together) for ewe in flock.ewes.values())
    mated = sum(key in flock.ewes and mating_weight(flock.ewes[key]) is not None for key in litter_weights)
    found = {
        "empty_pct": Unknown(unscanned, "ewes", inside=False),
        "stillbirth_pct": Unknown(blank, "lambs"),
        "kg_weaned_per_ewe": Unknown(whole - weighed, "lambs", of=whole),
        "litter_weight": Unknown(litters - len(litter_weights), "litters", of=litters),
        "ewe_efficiency": Unknown(litters - mated, "litters", of=litters),
    }
    for id in ("scanning_pct_scanned", "litter_scanned"):
        found[id] = Unknown(unscanned, "ewes", of=scanned + unscanned)
    apart = [ewe for ewe in ewes.all if not ewes.went.holds(ewe)]
    scanned_apart = sum(scan_of(ewe) is not None for ewe in apart)
    found["scanning_pct_ram"] = Unknown(unscanned + scanned_apart, "ewes", of=scanned + unscanned)
    for id in ("ewes_lambed_pct", "ewe_deaths_pct"):
        found[id] = Unknown(len(apart), "ewes", inside=False)
    if lambed:
        born = [lamb for lamb in flock.lambs if lamb.born in BORN and not lamb.bought]
        left_out = sum(not ewes.holds_mother(lamb) for lamb in born)
        found["lambing_pct"] = Unknown(left_out, "lambs", of=len(born))
    for reason in (*WhyHelped, None):
        found[assisted_by(reason)[0]] = Unknown(helpless, "ewes", inside=False)
    found["rearing_none_pct"] = Unknown(_may_rear_none(season, ewes), "ewes")
    found["assisted_pct"] = Unknown(helpless, "ewes", inside=False)
    if weaned:
        for id in ("loss_live_born_pct", "total_loss_pct"):
            found[id] = Unknown(unseen_at_weaning(season, lambda lamb: True), "lambs")
        left_out = sum(not ewes.holds_mother(lamb) for lamb in reared(season))
        unseen = unseen_at_weaning(season, ewes.holds_mother)
        found["reared_pct"] = Unknown(unseen, "lambs", booked=True, beyond=left_out)
    return found


def _may_rear_none(season: Season, ewes: EwesIn) -> int:
    """Of how many ewes all lambs can be among those short at a count, which are booked to no ewe: the most there can be."""
    left = sum(short.number for short in shortages(season))
    can_be = {lamb for short in shortages(season) for lamb in short.lambs}
    none = {ewe.key for ewe in ewes.that("ewe_rears_none")}
    here = [ewe.reared_together for ewe in ewes.that("ewe_lambed") if ewe.key not in none]
    found = 0
    for size in sorted(len(lambs) for lambs in here if can_be.issuperset(lambs)):
        if size > left:
            break
        found, left = found + 1, left - size
    return found
