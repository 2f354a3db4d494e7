"""The flock's figures, each with numerator, denominator, interval and definition."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from template_builder.layout.choices import Stage, Weighed, WhyHelped
from workbook.results.litters.account import Account
from workbook.results.litters.ewe_facts import (
    died,
    ewes_to_ram,
    mating_weight,
    pets,
    reared,
    rears_none,
    was_helped,
    weaning_weighings,
    why_helped,
)
from workbook.results.litters.figure import Denominator, Figure, Numerator, per, share, wilson_figure
from workbook.results.litters.group_account import GroupAccount
from workbook.results.litters.group_figures import with_groups
from workbook.results.litters.movements import scan_of
from workbook.results.litters.scanning import scan_agreement, scan_table, screening
from workbook.results.statistics.agreement import agreement
from workbook.results.statistics.proportions import FEW
from workbook.season.families import Ewe
from workbook.season.groups import Groups
from workbook.season.season import Season

BEFORE, SO_FAR, LAMBED, WEANED = "before lambing", "so far", "lambed", "weaned"
LOST_LINES = ("aborted_scanned", "lost_with_ewe", "fewer", "never_lambed", "born_dead", "died", "missing", "short")


def stage_of(season: Season, account: Account) -> str:
    """How far the season is: "before lambing", "so far" (ewes still to lamb), "lambed" or "weaned"."""
    counted = any(row.whole("lambs") is not None for row in season.rows("counts"))
    if not counted and not any(ewe.lambed or ewe.aborted for ewe in season.flock.ewes.values()):
        return BEFORE if account.total("to_lamb") or not account.total("known") else LAMBED
    if _weaned(season):
        return WEANED
    return SO_FAR if account.total("to_lamb") else LAMBED


def _weaned(season: Season) -> bool:
    """Whether lambs were weighed or counted at weaning, or the weaning day of every group has passed."""
    weighed = any(row["occasion"] is Weighed.WEANING for row in season.rows("weights"))
    counted = any(row["stage"] is Stage.WEANING and row.whole("lambs") is not None for row in season.rows("counts"))
    days = [row.day("weaning") for row in Groups.of(season).in_the_book]
    return weighed or counted or bool(days) and all(day is not None and day < season.as_of.date() for day in days)


def figures(
    season: Season, account: Account, stage: str, litter_weights: Mapping[str, float] | None = None,
    groups: Iterable[GroupAccount] = (),
) -> tuple[Figure, ...]:
    """Every figure of a flock. Shares are in per cent.

    `litter_weights` are litter weights weaned in kg by ewe key, of complete litters only. `groups` are the accounts of
    the groups: those known by counts only are taken in where they can be, and each definition says which.
    While ewes are still to lamb the figures per ewe to the ram are given per ewe lambed.
    """
    so_far = stage in (BEFORE, SO_FAR) and bool(account.total("to_lamb"))
    named = Groups.of(season)
    ewes = tuple(ewe for ewe in season.flock.ewes.values() if not named.counted_with_group(ewe))
    to_ram = ewes_to_ram(season)
    lambed = tuple(ewe for ewe in ewes if ewe.lambed)
    per_ewe = Denominator(len(lambed), "ewes lambed so far") if so_far else to_ram
    rest = (
        *_of_lambing(account, ewes, lambed, to_ram, per_ewe, season.policy.weights["abortion-alarm"]),
        *_of_losses(account, so_far),
        *_of_rearing(season, account, ewes, to_ram, per_ewe),
        *_of_help(lambed),
        *_of_weights(season, per_ewe, litter_weights or {}),
    )
    found = (*_of_scanning(account, ewes, to_ram), *_of_agreement(season), *(replace(figure, so_far=so_far) for figure in rest))
    return with_groups(found, groups, has_book=bool(ewes))


def _of_scanning(account: Account, ewes: tuple[Ewe, ...], to_ram: Denominator) -> list[Figure]:
    scans = [scan for ewe in ewes if (scan := scan_of(ewe)) is not None]
    scanned = Denominator(len(scans), "ewes scanned")
    in_lamb = Denominator(sum(scan > 0 for scan in scans), "ewes scanned in lamb")
    empty = [ewe for ewe in ewes if scan_of(ewe) == 0]
    lambs = Numerator(account.total("scanned"), "Lambs scanned", account.rows["scanned"])
    return [
        per("scanning_pct_ram", "Scanning %, per ewe to the ram", lambs, to_ram),
        per("scanning_pct_scanned", "Scanning %, per ewe scanned", lambs, scanned),
        per("litter_scanned", "Litter size scanned", lambs, in_lamb, "lambs per ewe", scale=1),
        share("empty_pct", "Empty %", _ewes(empty, "Ewes scanned empty", "scanned"), scanned),
    ]


def _of_lambing(
    account: Account, ewes: tuple[Ewe, ...], lambed: tuple[Ewe, ...], to_ram: Denominator, per_ewe: Denominator,
    alarm: float,
) -> list[Figure]:
    in_lamb = [ewe for ewe in ewes if (scan_of(ewe) or 0) > 0]
    born = Numerator(account.total("born"), "Lambs born, alive or dead,", account.rows["born"])
    of_ewes = Numerator(sum(len(ewe.born) for ewe in lambed), "Lambs born, alive or dead, whose mother is known,", born.rows)
    return [
        per("litter_born", "Litter size born", of_ewes, Denominator(len(lambed), "ewes lambed"), "lambs per ewe", scale=1),
        share("ewes_lambed_pct", "Ewes lambed %", _ewes(lambed, "Ewes lambed"), to_ram),
        per("lambing_pct", "Lambing %", born, per_ewe),
        share("aborted_pct", "Aborted %", _ewes([ewe for ewe in in_lamb if ewe.aborted], "Ewes that aborted"),
               Denominator(len(in_lamb), "ewes scanned in lamb", f"Alarm for the flock from {alarm:g} %, or two in a week.")),
    ]


def _of_losses(account: Account, so_far: bool) -> list[Figure]:
    known = Denominator(account.total("known"), "lambs known: scanned, and born beyond the scan or without one")
    if so_far:
        known = Denominator(account.total("known") - account.total("to_lamb"), "lambs known, less those still to be born")
    alive = Denominator(account.total("born_alive"), "lambs born alive")
    dead = _lines(account, "Lambs born dead", "born_dead")
    lost = _lines(account, "Lambs that died, are missing or were short at the last count", "died", "missing", "short")
    all_lost = _lines(
        account, "Scanned lambs not born, and lambs born dead, died, missing or short at the last count", *LOST_LINES)
    return [
        share("stillbirth_pct", "Born dead %", dead, Denominator(account.total("born"), "lambs born, alive or dead")),
        share("loss_live_born_pct", "Loss of live-born %", lost, alive),
        share("total_loss_pct", "Total loss %", all_lost, known),
    ]


def _of_rearing(
    season: Season, account: Account, ewes: tuple[Ewe, ...], to_ram: Denominator, per_ewe: Denominator,
) -> list[Figure]:
    groups, here, lambed = Groups.of(season), reared(season), [ewe for ewe in ewes if ewe.lambed]
    none = [ewe for ewe in lambed if rears_none(ewe, groups)]
    dead = [ewe for ewe in ewes if died(ewe)]
    on_bottle = pets(season)
    still = Numerator(len(here) - account.total("short"), "Home-born lambs still here at weaning or sold alive",
                      tuple(lamb.record.at("ewe") for lamb in here))
    return [
        per("reared_pct", "Reared %", still, per_ewe),
        share("pet_pct", "Pet lambs %",
               Numerator(len(on_bottle), "Lambs put on the bottle", tuple(lamb.record.at("reared_by") for lamb in on_bottle)),
               Denominator(account.total("born_alive"), "lambs born alive")),
        share("rearing_none_pct", "Ewes rearing none %", _ewes(none, "Ewes that lambed and rear no lamb"),
               Denominator(len(lambed), "ewes lambed")),
        share("ewe_deaths_pct", "Ewe deaths %", _ewes(dead, "Ewes that died", "left_how"), to_ram),
    ]


def _of_help(lambed: tuple[Ewe, ...]) -> list[Figure]:
    """Assisted ewes, and those by each reason that occurred."""
    known = [ewe for ewe in lambed if was_helped(ewe) is not None]
    helped = [ewe for ewe in known if was_helped(ewe)]
    of_known = Denominator(len(known), "ewes lambed with help known")
    reasons: list[Figure] = []
    for reason in (*WhyHelped, None):
        ewes = [ewe for ewe in helped if why_helped(ewe) is reason]
        if ewes:
            id, label = assisted_by(reason)
            reasons.append(share(id, f"Assisted %, {label}", _ewes(ewes, f"Ewes helped ({label})"), of_known))
    return [share("assisted_pct", "Assisted %", _ewes(helped, "Ewes helped"), of_known), *reasons]


def assisted_by(reason: WhyHelped | None) -> tuple[str, str]:
    """The id of the figure of ewes helped for a reason, None for one not recorded, and the reason in words."""
    id, label = (reason.name.lower(), reason.label) if reason else ("reason_not_recorded", "reason not recorded")
    return f"assisted_{id}", label


def _of_weights(season: Season, per_ewe: Denominator, litter_weights: Mapping[str, float]) -> list[Figure]:
    weighed, there = list(weaning_weighings(season)), len(reared(season))
    kilos = sum(row.number("kg") or 0 for row in weighed)
    words = f"Kilograms of weaned lambs ({len(weighed)} of {there} lambs reared were weighed at weaning),"
    ewes = season.flock.ewes
    mated = {key: kg for key in litter_weights if key in ewes and (kg := mating_weight(ewes[key])) is not None}
    complete = Numerator(sum(litter_weights.values()), "Kilograms of lambs weaned in complete litters, adjusted for age,")
    of_mated = Numerator(sum(litter_weights[key] for key in mated), "Kilograms weaned by ewes weighed before mating")
    return [
        per("kg_weaned_per_ewe", "Weaned per ewe", Numerator(kilos if weighed else None, words,
             tuple(row.at("kg") for row in weighed)), per_ewe, "kg per ewe", scale=1),
        per("litter_weight", "Litter weight weaned", complete, Denominator(len(litter_weights), "ewes with a complete litter"),
             "kg per ewe", scale=1),
        replace(per("ewe_efficiency", "Ewe efficiency", of_mated, Denominator(sum(mated.values()), "kg of their weight then")),
                few=len(mated) < FEW),
    ]


def _of_agreement(season: Season) -> list[Figure]:
    """How the scan agreed with what was born; left out while there is nothing to compare."""
    table = scan_table(season)
    if not table:
        return []
    agreed, test, kept = agreement(table), screening(table), table.get((0, 0), 0)
    compared = Denominator(agreed.n, "ewes scanned that lambed or were kept empty")
    empties = "1 ewe scanned empty was" if kept == 1 else f"{kept} ewes scanned empty were"
    bias = f"{empties} kept and did not lamb; most are sold, so the figure is biased."
    return [
        wilson_figure("scan_exact_pct", "Scan right %", agreed.exact, "Ewes that bore as many as scanned", compared.words),
        wilson_figure("scan_within_one_pct", "Scan within one lamb %", agreed.within_one,
                      "Ewes scanned within one lamb of those born", compared.words),
        Figure("scan_kappa", "Scan agreement, weighted kappa", agreed.weighted_kappa, "", None, agreed.n,
               f"Agreement beyond chance over {compared.words}: 1 is full, 0 no better than chance; each miss counts by the "
               "lambs it is out; not defined where all ewes were scanned alike or all bore alike.", few=agreed.n < FEW),
        wilson_figure("scan_sensitivity_pct", "Ewes in lamb found %", test.sensitivity, "Ewes scanned in lamb",
                      "ewes scanned that bore lambs", bias),
        wilson_figure("scan_specificity_pct", "Empty ewes found %", test.specificity, "Ewes scanned empty",
                      "ewes scanned, kept and not lambed", bias),
    ]


def _ewes(ewes: Iterable[Ewe], words: str, column: str = "ewe") -> Numerator:
    found = tuple(ewes)
    records = (ewe.record or ewe.lambing or ewe.laid for ewe in found)
    return Numerator(len(found), words, tuple(record.at(column) for record in records if record is not None))


def _lines(account: Account, words: str, *lines: str) -> Numerator:
    return Numerator(account.total(*lines), words, tuple(cell for line in lines for cell in account.rows[line]))


__all__ = ["BEFORE", "SO_FAR", "Figure", "assisted_by", "figures", "scan_agreement", "scan_table", "stage_of"]
