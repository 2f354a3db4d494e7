"""The flock's figures, each with numerator, denominator, interval and definition."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from template_builder.layout.choices import Stage, Weighed, WhyHelped
from template_builder.layout.words import so_many_are
from workbook.results.litters.account import Account, EweAccount
from workbook.results.litters.ewe_facts import LAMB_FACTS, pets, reared, why_helped
from workbook.results.litters.ewes_in import EwesIn, counted_ewes
from workbook.results.litters.figure import Denominator, Figure, Numerator, Rows, per, share, wilson_figure
from workbook.results.litters.group_account import GroupAccount
from workbook.results.litters.group_figures import with_groups
from workbook.results.litters.known import resting_on
from workbook.results.litters.litter_mates import effect_on
from workbook.results.litters.missing import HELPED, assisted_by, helped_words, not_known
from workbook.results.litters.scanning import aborted_as_scanned, scan_agreement, scan_table, screening
from workbook.results.litters.shortages import short_in
from workbook.results.litters.splits import live_born
from workbook.results.litters.to_ram import to_ram
from workbook.results.litters.weaned import weight_figures
from workbook.results.statistics.agreement import agreement
from workbook.results.statistics.proportions import FEW, effect_of_clusters
from workbook.season.families import BORN
from workbook.season.groups import Groups
from workbook.season.season import Season

ALIVE, EWES_LAMBED = "lambs born alive", "ewes that lambed"
BEFORE, SO_FAR, LAMBED, WEANED = "before lambing", "so far", "lambed", "weaned"
HELP_KNOWN = f"{EWES_LAMBED} and of which it is known whether they were helped"
NOTHING = "nothing written"
APART = "Ewes that aborted are left out."
STAGES = (NOTHING, BEFORE, SO_FAR, LAMBED, WEANED)
KNOWN = "which are those scanned, those born beyond the scan and those of ewes without a scan"
LOST_LINES = ("aborted_scanned", "lost_with_ewe", "fewer", "never_lambed", "born_dead", "died", "missing", "short")


def stage_of(season: Season, account: Account) -> str:
    """How far the season is: "before lambing", "so far" (ewes still to lamb), "lambed" or "weaned".

    "nothing written" is a workbook nobody has written in though ewes should have lambed: that is no loss of all lambs.
    """
    if account.total("never_lambed") and _nothing_written(season):
        return NOTHING
    counted = any(row.whole("lambs") is not None for row in season.rows("counts"))
    if not counted and not any(ewe.lambed or ewe.aborted for ewe in season.flock.ewes.values()):
        return BEFORE if account.total("to_lamb") or not account.total("known") else LAMBED
    if _weaned(season):
        return WEANED
    return SO_FAR if account.total("to_lamb") else LAMBED


EVENTS = ("lambing", "lambs", "weights", "counts", "ewe_check", "treatments")


def _nothing_written(season: Season) -> bool:
    """Whether nothing that happened is written on any sheet, and no ewe has left."""
    return not any(row.touched for sheet in EVENTS for row in season.rows(sheet)) and not any(
        ewe.gone for ewe in season.flock.ewes.values())


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
    While ewes are still to lamb the figures per ewe to the ram are given per ewe lambed. Of a workbook nobody has written in
    only the scan is known.
    """
    so_far = stage in (BEFORE, SO_FAR) and bool(account.total("to_lamb"))
    named, went = Groups.of(season), to_ram(season)
    ewes = EwesIn(tuple(ewe for ewe in season.flock.ewes.values() if not named.counted_with_group(ewe)), named, went)
    per_ewe = ewes.against("ewe_lambed", "ewes that have lambed so far") if so_far else went.denominator
    found = _of_scanning(account, ewes)
    if stage != NOTHING:
        rest = (
            *_of_lambing(season, account, ewes, per_ewe, season.policy.weights["abortion-alarm"]),
            *_of_losses(account, so_far),
            *_of_rearing(season, account, ewes, per_ewe, weaned=stage == WEANED),
            *_of_help(ewes),
            *weight_figures(season, ewes, per_ewe, litter_weights or {}),
        )
        found += [*_of_agreement(season), *(replace(figure, so_far=so_far) for figure in rest)]
    unknown = {} if not ewes.all else not_known(
        season, ewes, litter_weights or {}, lambed=stage in (LAMBED, WEANED), weaned=stage == WEANED)
    return resting_on(with_groups(found, groups, has_book=bool(ewes.all)), unknown)


def _of_scanning(account: Account, ewes: EwesIn) -> list[Figure]:
    scanned, lambs = ewes.against("ewe_scanned", "ewes scanned"), _lines(account, "Lambs scanned", "scanned")
    in_lamb = ewes.against("ewe_in_lamb", "ewes scanned in lamb")
    return [
        per("scanning_pct_ram", "Scanning %, per ewe to the ram", ewes.scanned_to_ram(lambs), ewes.went.denominator),
        per("scanning_pct_scanned", "Scanning %, per ewe scanned", lambs, scanned),
        per("litter_scanned", "Litter size scanned", lambs, in_lamb, "lambs per ewe", scale=1),
        share("empty_pct", "Empty %", ewes.counted("ewe_empty", "Ewes scanned empty", "scanned"), scanned),
    ]


def _of_lambing(season: Season, account: Account, ewes: EwesIn, per_ewe: Denominator, alarm: float) -> list[Figure]:
    born = _lines(account, "Lambs born, alive or dead", "born")
    home_born = [lamb for lamb in season.flock.lambs if lamb.born in BORN and not lamb.bought]
    of_mothers = sum(len(ewe.born) for ewe in ewes.that("ewe_lambed"))
    of_ewes = Numerator(of_mothers, "Lambs born, alive or dead, whose mother is known", born.rows)
    in_lamb = ewes.against("ewe_in_lamb", "ewes scanned in lamb", (
        f"Alarm for the flock: from {alarm:g} %, ewes that may have aborted included, or two within a week."))
    return [
        per("litter_born", "Litter size born", of_ewes, ewes.against("ewe_lambed", EWES_LAMBED), "lambs per ewe", scale=1),
        share("ewes_lambed_pct", "Ewes lambed %", ewes.of_those_to_ram("ewe_lambed", "Ewes that lambed"), ewes.went.denominator),
        per("lambing_pct", "Lambing %", ewes.mothers_to_ram(born, home_born, "born", per_ewe), per_ewe),
        share("aborted_pct", "Aborted %", ewes.counted("ewe_aborted", "Ewes scanned in lamb that aborted"), in_lamb),
    ]


def _of_losses(account: Account, so_far: bool) -> list[Figure]:
    known = _of_lines(account, f"lambs known, {KNOWN}", "known")
    if so_far:
        known = _of_lines(account, f"lambs known, {KNOWN}, less those still to be born", "known", less=("to_lamb",))
    dead = _lines(account, "Lambs born dead", "born_dead")
    lost = _lines(
        account, "Live-born lambs that died, are missing or were short at the last count", "died", "missing", "short")
    all_lost = _lines(
        account, "Scanned lambs that were not born, and lambs that were born dead, died, are missing or were short at the last "
        "count", *LOST_LINES)
    return [
        _of_litters("stillbirth_pct", "Born dead %", dead, _of_lines(account, "lambs born, alive or dead", "born"), account),
        _of_litters("loss_live_born_pct", "Loss of live-born %", lost, _of_lines(account, ALIVE, "born_alive"), account),
        _of_litters("total_loss_pct", "Total loss %", all_lost, known, account),
    ]


def _of_litters(id: str, label: str, counted: Numerator, of: Denominator, account: Account) -> Figure:
    """A share of lambs, from lines of the account; lambs of one ewe are alike, so its interval is widened."""
    above, below = counted.counts or Rows(), of.counts or Rows()

    def number(ewe: EweAccount, rows: Rows) -> int:
        return sum(ewe.lines[line] for line in rows.lines) - sum(ewe.lines[line] for line in rows.less)

    return share(id, label, counted, of, effect_of_clusters(
        (number(ewe, above), number(ewe, below)) for ewe in account.ewes.values()))


def _of_rearing(
    season: Season, account: Account, ewes: EwesIn, per_ewe: Denominator, *, weaned: bool,
) -> list[Figure]:
    """Before weaning nothing is reared: lambs days old are no figure."""
    still = _lambs(season, "reared", "Home-born lambs still here at weaning or sold alive, less those short at the last count",
                   "ewe")
    still = ewes.mothers_to_ram(replace(still, counts=Rows(("reared",), less=("short",))), reared(season), "ewe", per_ewe)
    short = account.total("short") if still.counts else short_in(season, ewes.went.stated)
    still = replace(still, number=max(0, (still.number or 0) - short))
    return [
        *[per("reared_pct", "Reared %", still, per_ewe)] * weaned,
        share("pet_pct", "Pet lambs %", _lambs(season, "bottle", "Lambs put on the bottle", "reared_by"),
              _of_lines(account, ALIVE, "born_alive"), effect_on(frozenset(pets(season)), live_born(season.flock))),
        share("rearing_none_pct", "Ewes rearing none %", ewes.counted(
            "ewe_rears_none", "Ewes that lambed and rear no lamb, or died or went missing before weaning"),
              ewes.against("ewe_lambed", EWES_LAMBED)),
        share("ewe_deaths_pct", "Ewe deaths %", ewes.of_those_to_ram("ewe_died", "Ewes that died", "left_how"),
              ewes.went.denominator),
    ]


def _of_help(ewes: EwesIn) -> list[Figure]:
    """Assisted ewes, and those by each reason that occurred."""
    of_known = ewes.against("ewe_help_known", HELP_KNOWN)
    reasons: list[Figure] = []
    for reason in (*WhyHelped, None):
        helped = [ewe for ewe in ewes.that("ewe_helped") if why_helped(ewe) is reason]
        if helped:
            id, label = assisted_by(reason)
            reasons.append(share(id, f"Assisted %, {label}", counted_ewes(helped, helped_words(label)), of_known))
    return [share("assisted_pct", "Assisted %", ewes.counted("ewe_helped", HELPED), of_known), *reasons]


def _of_agreement(season: Season) -> list[Figure]:
    """How the scan agreed with what was born; left out while there is nothing to compare."""
    table = scan_table(season)
    if not table:
        return []
    agreed, test, kept = agreement(table), screening(table, aborted_as_scanned(season)), table.get((0, 0), 0)
    compared = Denominator(agreed.n, "scanned ewes that lambed, or were kept past their last day without lambing")
    bias = (f"{so_many_are(kept, 'ewe', 'scanned empty was', 'scanned empty were')} kept and did not lamb; most such ewes are "
            "sold before that can be seen, so the figure is biased.")
    return [
        wilson_figure("scan_exact_pct", "Scan right %", agreed.exact,
                      "Ewes with as many lambs as scanned, mummified ones counted where they were scanned", compared.words,
                      APART),
        wilson_figure("scan_within_one_pct", "Scan within one lamb %", agreed.within_one,
                      "Ewes with as many lambs as scanned, or one more or fewer", compared.words, APART),
        Figure("scan_kappa", "Scan agreement, weighted kappa", agreed.weighted_kappa, "", None, agreed.n,
               f"How far scan and lambing agree beyond chance, over {compared.words}: 1 is full agreement, 0 no better than "
               f"chance. A miss counts by how many lambs it is out. {APART} Not defined where all ewes were scanned alike or all "
               "bore alike.", few=agreed.n < FEW),
        wilson_figure("scan_sensitivity_pct", "Ewes in lamb found %", test.sensitivity, "Ewes scanned in lamb",
                      "scanned ewes that bore lambs or aborted", bias),
        wilson_figure("scan_specificity_pct", "Empty ewes found %", test.specificity, "Ewes scanned empty",
                      "scanned ewes that were kept past their last day and did not lamb", bias),
    ]


def _lambs(season: Season, fact: str, words: str, column: str) -> Numerator:
    found = LAMB_FACTS[fact][1](season)
    return Numerator(len(found), words, tuple(lamb.record.at(column) for lamb in found), Rows((fact,)))


def _lines(account: Account, words: str, *lines: str) -> Numerator:
    cells = tuple(cell for line in lines for cell in account.rows[line])
    return Numerator(account.total(*lines), words, cells, Rows(lines=lines))


def _of_lines(account: Account, words: str, *lines: str, less: tuple[str, ...] = ()) -> Denominator:
    return Denominator(account.total(*lines) - account.total(*less), words, counts=Rows(lines=lines, less=less))


__all__ = ["BEFORE", "NOTHING", "SO_FAR", "Figure", "assisted_by", "figures", "scan_agreement", "scan_table", "stage_of"]
