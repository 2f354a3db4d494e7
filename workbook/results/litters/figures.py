"""The flock's figures, each with numerator, denominator, interval and definition."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from template_builder.layout.choices import Stage, Weighed, WhyHelped
from workbook.results.litters.account import Account
from workbook.results.litters.ewe_facts import (
    LAMB_FACTS,
    ewes_to_ram,
    holding,
    mating_weight,
    reared,
    weaning_weighings,
    why_helped,
)
from workbook.results.litters.figure import Denominator, Figure, Numerator, Rows, per, share, wilson_figure
from workbook.results.litters.group_account import GroupAccount
from workbook.results.litters.group_figures import with_groups
from workbook.results.litters.scanning import aborted_as_scanned, scan_agreement, scan_table, screening
from workbook.results.statistics.agreement import agreement
from workbook.results.statistics.proportions import FEW
from workbook.season.families import Ewe
from workbook.season.groups import Groups
from workbook.season.season import Season

ALIVE = "lambs born alive"
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
    ewes = EwesIn(tuple(ewe for ewe in season.flock.ewes.values() if not named.counted_with_group(ewe)), named)
    to_ram = ewes_to_ram(season)
    per_ewe = ewes.against("ewe_lambed", "ewes lambed so far") if so_far else to_ram
    rest = (
        *_of_lambing(account, ewes, to_ram, per_ewe, season.policy.weights["abortion-alarm"]),
        *_of_losses(account, so_far),
        *_of_rearing(season, account, ewes, to_ram, per_ewe),
        *_of_help(ewes),
        *_of_weights(season, per_ewe, litter_weights or {}),
    )
    found = (*_of_scanning(account, ewes, to_ram), *_of_agreement(season), *(replace(figure, so_far=so_far) for figure in rest))
    return with_groups(found, groups, has_book=bool(ewes.all))


@dataclass(frozen=True)
class EwesIn:
    """The ewes that figures count, and how many of them a fact holds of, above or below the line."""

    all: tuple[Ewe, ...]
    groups: Groups

    def that(self, fact: str) -> tuple[Ewe, ...]:
        return holding(fact, self.all, self.groups)

    def counted(self, fact: str, words: str, column: str = "ewe") -> Numerator:
        return _ewes(self.that(fact), words, column, Rows((fact,)))

    def against(self, fact: str, words: str, note: str = "") -> Denominator:
        return Denominator(len(self.that(fact)), words, note, Rows((fact,)))


def _of_scanning(account: Account, ewes: EwesIn, to_ram: Denominator) -> list[Figure]:
    scanned, lambs = ewes.against("ewe_scanned", "ewes scanned"), _lines(account, "Lambs scanned", "scanned")
    in_lamb = ewes.against("ewe_in_lamb", "ewes scanned in lamb")
    return [
        per("scanning_pct_ram", "Scanning %, per ewe to the ram", lambs, to_ram),
        per("scanning_pct_scanned", "Scanning %, per ewe scanned", lambs, scanned),
        per("litter_scanned", "Litter size scanned", lambs, in_lamb, "lambs per ewe", scale=1),
        share("empty_pct", "Empty %", ewes.counted("ewe_empty", "Ewes scanned empty", "scanned"), scanned),
    ]


def _of_lambing(account: Account, ewes: EwesIn, to_ram: Denominator, per_ewe: Denominator, alarm: float) -> list[Figure]:
    born = _lines(account, "Lambs born, alive or dead,", "born")
    of_mothers = sum(len(ewe.born) for ewe in ewes.that("ewe_lambed"))
    of_ewes = Numerator(of_mothers, "Lambs born, alive or dead, whose mother is known,", born.rows)
    in_lamb = ewes.against("ewe_in_lamb", "ewes scanned in lamb", f"Alarm for the flock from {alarm:g} %, or two in a week.")
    return [
        per("litter_born", "Litter size born", of_ewes, ewes.against("ewe_lambed", "ewes lambed"), "lambs per ewe", scale=1),
        share("ewes_lambed_pct", "Ewes lambed %", ewes.counted("ewe_lambed", "Ewes lambed"), to_ram),
        per("lambing_pct", "Lambing %", born, per_ewe),
        share("aborted_pct", "Aborted %", ewes.counted("ewe_aborted", "Ewes that aborted"), in_lamb),
    ]


def _of_losses(account: Account, so_far: bool) -> list[Figure]:
    known = _of_lines(account, "lambs known: scanned, and born beyond the scan or without one", "known")
    if so_far:
        known = _of_lines(account, "lambs known, less those still to be born", "known", less=("to_lamb",))
    dead = _lines(account, "Lambs born dead", "born_dead")
    lost = _lines(account, "Lambs that died, are missing or were short at the last count", "died", "missing", "short")
    all_lost = _lines(
        account, "Scanned lambs not born, and lambs born dead, died, missing or short at the last count", *LOST_LINES)
    return [
        share("stillbirth_pct", "Born dead %", dead, _of_lines(account, "lambs born, alive or dead", "born")),
        share("loss_live_born_pct", "Loss of live-born %", lost, _of_lines(account, ALIVE, "born_alive")),
        share("total_loss_pct", "Total loss %", all_lost, known),
    ]


def _of_rearing(
    season: Season, account: Account, ewes: EwesIn, to_ram: Denominator, per_ewe: Denominator,
) -> list[Figure]:
    still = _lambs(season, "reared", "Home-born lambs still here at weaning or sold alive", "ewe")
    still = replace(still, number=(still.number or 0) - account.total("short"), counts=Rows(("reared",), less=("short",)))
    return [
        per("reared_pct", "Reared %", still, per_ewe),
        share("pet_pct", "Pet lambs %", _lambs(season, "bottle", "Lambs put on the bottle", "reared_by"),
              _of_lines(account, ALIVE, "born_alive")),
        share("rearing_none_pct", "Ewes rearing none %", ewes.counted("ewe_rears_none", "Ewes that lambed and rear no lamb"),
              ewes.against("ewe_lambed", "ewes lambed")),
        share("ewe_deaths_pct", "Ewe deaths %", ewes.counted("ewe_died", "Ewes that died", "left_how"), to_ram),
    ]


def _of_help(ewes: EwesIn) -> list[Figure]:
    """Assisted ewes, and those by each reason that occurred."""
    of_known = ewes.against("ewe_help_known", "ewes lambed with help known")
    reasons: list[Figure] = []
    for reason in (*WhyHelped, None):
        helped = [ewe for ewe in ewes.that("ewe_helped") if why_helped(ewe) is reason]
        if helped:
            id, label = assisted_by(reason)
            reasons.append(share(id, f"Assisted %, {label}", _ewes(helped, f"Ewes helped ({label})"), of_known))
    return [share("assisted_pct", "Assisted %", ewes.counted("ewe_helped", "Ewes helped"), of_known), *reasons]


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
    agreed, test, kept = agreement(table), screening(table, aborted_as_scanned(season)), table.get((0, 0), 0)
    compared = Denominator(agreed.n, "ewes scanned that lambed or were kept empty")
    empties = "1 ewe scanned empty was" if kept == 1 else f"{kept} ewes scanned empty were"
    bias = f"{empties} kept and did not lamb; most are sold, so the figure is biased."
    return [
        wilson_figure("scan_exact_pct", "Scan right %", agreed.exact,
                      "Ewes with as many lambs as scanned, a mummified one that was scanned among them", compared.words),
        wilson_figure("scan_within_one_pct", "Scan within one lamb %", agreed.within_one,
                      "Ewes scanned within one lamb of those there at lambing", compared.words),
        Figure("scan_kappa", "Scan agreement, weighted kappa", agreed.weighted_kappa, "", None, agreed.n,
               f"Agreement beyond chance over {compared.words}: 1 is full, 0 no better than chance; each miss counts by the "
               "lambs it is out; not defined where all ewes were scanned alike or all bore alike.", few=agreed.n < FEW),
        wilson_figure("scan_sensitivity_pct", "Ewes in lamb found %", test.sensitivity, "Ewes scanned in lamb",
                      "ewes scanned that bore lambs or aborted", bias),
        wilson_figure("scan_specificity_pct", "Empty ewes found %", test.specificity, "Ewes scanned empty",
                      "ewes scanned, kept and not lambed", bias),
    ]


def _ewes(ewes: Iterable[Ewe], words: str, column: str = "ewe", counts: Rows | None = None) -> Numerator:
    found = tuple(ewes)
    records = (ewe.record or ewe.lambing or ewe.laid for ewe in found)
    return Numerator(len(found), words, tuple(record.at(column) for record in records if record is not None), counts)


def _lambs(season: Season, fact: str, words: str, column: str) -> Numerator:
    found = LAMB_FACTS[fact][1](season)
    return Numerator(len(found), words, tuple(lamb.record.at(column) for lamb in found), Rows((fact,)))


def _lines(account: Account, words: str, *lines: str) -> Numerator:
    cells = tuple(cell for line in lines for cell in account.rows[line])
    return Numerator(account.total(*lines), words, cells, Rows(lines=lines))


def _of_lines(account: Account, words: str, *lines: str, less: tuple[str, ...] = ()) -> Denominator:
    return Denominator(account.total(*lines) - account.total(*less), words, counts=Rows(lines=lines, less=less))


__all__ = ["BEFORE", "SO_FAR", "Figure", "assisted_by", "figures", "scan_agreement", "scan_table", "stage_of"]
