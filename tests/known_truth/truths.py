"""The true value of every figure, counted from all that happened to a flock; of a very large one it is the chance itself."""

from collections.abc import Callable, Mapping, Sequence

from known_truth.lives import (
    BY_SIZE,
    FIRST_KG,
    LIGHT,
    MALE,
    RAM_KG,
    STAGES,
    WEANED_AGE,
    WEANING,
    EweLife,
    LambLife,
    lambs_of,
)

MIDDLING = 5.0  # kg at birth, under which a lamb is no heavy one
Both = tuple[EweLife, LambLife]
Parts = Mapping[str, tuple[float, float]]
PER_CENT_OF = ("scanning_pct_ram", "scanning_pct_scanned", "lambing_pct", "reared_pct", "ewe_efficiency")


def values(ewes: Sequence[EweLife]) -> dict[str, float]:
    """Every figure by id, stages as "stage:to marking" (of those at risk) and "of live-born:to marking"."""
    shares = {id: 100 * above / below for id, (above, below) in {**_of_ewes(ewes), **_of_lambs(ewes)}.items() if below}
    ratios = {id: (100 if id in PER_CENT_OF else 1) * above / below for id, (above, below) in _ratios(ewes).items() if below}
    return {**shares, **ratios, **_stages(ewes), **_risk_ratios(ewes), **EFFECTS}


def _of_ewes(ewes: Sequence[EweLife]) -> Parts:
    scanned = [ewe for ewe in ewes if ewe.scanned is not None]
    in_lamb = [ewe for ewe in scanned if ewe.scanned]
    lambed = [ewe for ewe in ewes if ewe.has_lambed]
    seen_out = [ewe for ewe in scanned if ewe.has_lambed or not (ewe.sold or ewe.aborts or ewe.dies)]
    out = [abs((ewe.scanned or 0) - len(ewe.lambs)) for ewe in seen_out]
    pregnant = [ewe for ewe in scanned if ewe.has_lambed or ewe.aborts]
    empty = [ewe for ewe in seen_out if not ewe.has_lambed]
    return {
        "empty_pct": (len(scanned) - len(in_lamb), len(scanned)),
        "aborted_pct": (sum(ewe.aborts for ewe in in_lamb), len(in_lamb)),
        "ewes_lambed_pct": (len(lambed), len(ewes)),
        "rearing_none_pct": (sum(not _suckling(ewe) for ewe in lambed), len(lambed)),
        "ewe_deaths_pct": (sum(ewe.dies is not None for ewe in ewes), len(ewes)),
        "assisted_pct": (sum(ewe.helped for ewe in lambed), len(lambed)),
        "scan_exact_pct": (out.count(0), len(out)), "scan_within_one_pct": (out.count(0) + out.count(1), len(out)),
        "scan_sensitivity_pct": (sum(bool(ewe.scanned) for ewe in pregnant), len(pregnant)),
        "scan_specificity_pct": (sum(not ewe.scanned for ewe in empty), len(empty)),
    }


def _suckling(ewe: EweLife) -> list[LambLife]:
    """The lambs she reared to weaning."""
    return [] if ewe.dies else [lamb for lamb in ewe.live if not (lamb.lost or lamb.pet)]


def _of_lambs(ewes: Sequence[EweLife]) -> Parts:
    lambs = [lamb for _, lamb in lambs_of(ewes)]
    live = [lamb for lamb in lambs if lamb.alive]
    weaned = sum(not lamb.lost for lamb in live)
    known = sum(max(ewe.scanned or 0, len(ewe.lambs)) for ewe in ewes)
    return {
        "stillbirth_pct": (len(lambs) - len(live), len(lambs)), "loss_live_born_pct": (len(live) - weaned, len(live)),
        "total_loss_pct": (known - weaned, known), "pet_pct": (sum(lamb.pet for lamb in live), len(live)),
    }


def _ratios(ewes: Sequence[EweLife]) -> Parts:
    scanned = [ewe.scanned for ewe in ewes if ewe.scanned is not None]
    lambs = lambs_of(ewes)
    weaned = [(ewe, lamb) for ewe, lamb in lambs if lamb.alive and not lamb.lost]
    rearing = [(ewe, _suckling(ewe)) for ewe in ewes if _suckling(ewe)]
    kilos = sum(lamb.kg for _, suckled in rearing for lamb in suckled)
    return {
        "scanning_pct_ram": (sum(scanned), len(ewes)), "scanning_pct_scanned": (sum(scanned), len(scanned)),
        "litter_scanned": (sum(scanned), len([scan for scan in scanned if scan])),
        "litter_born": (len(lambs), sum(ewe.has_lambed for ewe in ewes)), "lambing_pct": (len(lambs), len(ewes)),
        "reared_pct": (len(weaned), len(ewes)),
        "kg_weaned_per_ewe": (sum(weaning_kg(ewe, lamb) for ewe, lamb in weaned), len(ewes)),
        "litter_weight": (kilos, len(rearing)), "ewe_efficiency": (kilos, sum(ewe.mating_kg for ewe, _ in rearing)),
    }


def weaning_kg(ewe: EweLife, lamb: LambLife) -> float:
    """What the scale shows on the day of weaning."""
    return lamb.birth_kg + (lamb.kg - lamb.birth_kg) / WEANED_AGE * (WEANING - ewe.lambed).days


def _stages(ewes: Sequence[EweLife]) -> dict[str, float]:
    live = [lamb for _, lamb in lambs_of(ewes) if lamb.alive]
    found, here = {}, len(live)
    for stage, _ in STAGES:
        lost = sum(lamb.lost == stage for lamb in live)
        found[f"stage:{stage}"], found[f"of live-born:{stage}"] = 100 * lost / here, 100 * lost / len(live)
        here -= lost
        found[f"survived:{stage}"] = 100 * here / len(live)
    return found


CONTRASTS: Mapping[str, tuple[Callable[[Both], bool], Callable[[Both], bool]]] = {
    "triplets_v_twins": (lambda of: len(of[0].lambs) == 3, lambda of: len(of[0].lambs) == 2),
    "twins_v_singles": (lambda of: len(of[0].lambs) == 2, lambda of: len(of[0].lambs) == 1),
    "light_v_middle": (lambda of: round(of[1].birth_kg, 1) < LIGHT, lambda of: LIGHT <= round(of[1].birth_kg, 1) < MIDDLING),
    "helped_v_not": (lambda of: of[0].helped, lambda of: not of[0].helped),
    "first_lambing_v_later": (lambda of: of[0].first, lambda of: not of[0].first),
    "ram:R1": (lambda of: of[0].ram == "R1", lambda of: of[0].ram != "R1"),
    "group:Hill": (lambda of: of[0].group == "Hill", lambda of: of[0].group != "Hill"),
}


def _risk_ratios(ewes: Sequence[EweLife]) -> dict[str, float]:
    live = [(ewe, lamb) for ewe, lamb in lambs_of(ewes) if lamb.alive]

    def share(holds: Callable[[Both], bool]) -> float:
        own = [bool(one[1].lost) for one in live if holds(one)]
        return sum(own) / len(own) if own else 0.0

    shares = {id: (share(first), share(second)) for id, (first, second) in CONTRASTS.items()}
    return {f"risk ratio:{id}": first / second for id, (first, second) in shares.items() if second}


# What the lamb model should find, in kg.
MODEL: Mapping[str, tuple[str, str, str]] = {
    "kg:ram over ewe lamb": ("sex", "ram", "ewe"),
    "kg:twin under single": ("birth and rearing type", "twins reared as twins", "singles reared as singles"),
    "kg:first lambing under later": ("age of ewe", "2 years", "5 years"),
    "kg:ram R4 over ram R5": ("ram", "R4", "R5"),
    "kg:group Hill over Low": ("group", "hill", "low"),
}
EFFECTS = dict(zip(MODEL, (MALE, BY_SIZE[2], FIRST_KG, RAM_KG["R4"] - RAM_KG["R5"], 0.0), strict=True))
