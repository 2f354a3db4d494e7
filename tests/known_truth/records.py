"""What a farm writes of a flock: not all of it. Some deaths are seen by nobody, and counts miss lambs and find strays."""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from random import Random

from seasons import season

from known_truth.lives import GROUPS, MARKING, RAM_IN, STAGES, TURNOUT_AGE, WEANED_AGE, WEANING, EweLife, LambLife
from template_builder.layout.choices import Born, EweLeft, Help, LambLeft, RearedBy, Sex, Stage, Weighed
from template_builder.layout.columns import Row
from workbook.season.season import Season

AS_OF = datetime(2026, 7, 10, 12, 0)
NO_HELP_WRITTEN, NO_BIRTH_KG, NO_DAY, NOT_WEIGHED, NO_MATING_KG = 0.15, 0.15, 0.10, 0.15, 0.30
UNSEEN = 0.5  # of the losses after turnout
STRAYS, MISCOUNTED = 0.2, 0.1  # of the counts
IN_FIELD = frozenset(name for name, _ in STAGES[2:])
NEVER = date.max


def written(
    dice: Random, ewes: Sequence[EweLife], past: Mapping[int, tuple[float, int]] | None = None, no_day: float = NO_DAY,
) -> Season:
    """The season's records. `past` are each ewe's earlier seasons of litter weight: their mean difference, and how many.

    `no_day` is the share of deaths seen whose day nobody wrote.
    """
    rows: dict[str, list[Row]] = {"ewes": [], "lambing": [], "lambs": [], "weights": [], "counts": []}
    for ewe in ewes:
        _write_ewe(dice, ewe, rows, (past or {}).get(ewe.number))
        for at, lamb in enumerate(ewe.lambs, start=1):
            seen = lamb.lost not in IN_FIELD or dice.random() >= UNSEEN
            rows["lambs"].append(_lamb(dice, ewe, lamb, at, seen, no_day))
            if lamb.alive and not lamb.lost and dice.random() >= NOT_WEIGHED:
                rows["weights"].append(_weight(ewe, lamb, at))
    rows["counts"] = [row for stage, on in ((Stage.MARKING, MARKING), (Stage.WEANING, WEANING))
                      for row in _counts(dice, ewes, stage, on)]
    to_ram = Counter(ewe.group for ewe in ewes)
    groups = [{"group": name, "ewes_to_ram": to_ram[name], "ram_in": RAM_IN, "marking": MARKING, "weaning": WEANING}
              for name in GROUPS]
    return season(AS_OF, groups=groups, **rows)


def name(ewe: EweLife) -> str:
    return f"E{ewe.number}"


def _write_ewe(dice: Random, ewe: EweLife, rows: dict[str, list[Row]], past: tuple[float, int] | None) -> None:
    sold = date(2026, 1, 20) if ewe.sold else None
    rows["ewes"].append({
        "ewe": name(ewe), "scanned": ewe.scanned, "group": ewe.group, "ram": ewe.ram, "mated_on": ewe.mated,
        "born_year": 2024 if ewe.first else 2021, "lambings_before": 0 if ewe.first else 3,
        "left_on": sold or ewe.dies, "left_how": EweLeft.SOLD if sold else EweLeft.DIED if ewe.dies else None,
        "past_litter_deviation": past[0] if past else None, "past_litter_seasons": past[1] if past else None,
    })
    if dice.random() >= NO_MATING_KG:
        rows["weights"].append({"animal": name(ewe), "date": RAM_IN, "kg": ewe.mating_kg, "occasion": Weighed.MATING})
    if ewe.aborts:
        rows["lambs"] += [{"ewe": name(ewe), "lamb_no": at, "born": Born.ABORTED} for at in range(1, ewe.carried + 1)]
    if ewe.has_lambed:
        help = None if dice.random() < NO_HELP_WRITTEN else Help.LIGHT if ewe.helped else Help.NONE
        rows["lambing"].append({"ewe": name(ewe), "lambed_on": ewe.lambed, "help": help,
                                "turned_out_on": None if ewe.dies else ewe.lambed + timedelta(days=TURNOUT_AGE)})


def _lamb(dice: Random, ewe: EweLife, lamb: LambLife, at: int, seen: bool, no_day: float) -> Row:
    gone = bool(lamb.lost) and seen
    return {
        "ewe": name(ewe), "lamb_no": at, "sex": Sex.RAM if lamb.male else Sex.EWE,
        "born": Born.ALIVE if lamb.alive else Born.DEAD_FRESH,
        "birth_weight": None if dice.random() < NO_BIRTH_KG else round(lamb.birth_kg, 1),
        "reared_by": RearedBy.PET if lamb.pet else None,
        "left_how": LambLeft.DIED if gone else None, "left_on": lamb.gone if gone and dice.random() >= no_day else None,
    }


def _weight(ewe: EweLife, lamb: LambLife, at: int) -> Row:
    age = (WEANING - ewe.lambed).days
    kg = lamb.birth_kg + (lamb.kg - lamb.birth_kg) / WEANED_AGE * age
    return {"animal": f"{name(ewe)}-{at}", "date": WEANING, "kg": kg, "occasion": Weighed.WEANING}


def _counts(dice: Random, ewes: Sequence[EweLife], stage: Stage, on: date) -> list[Row]:
    """Every group counted on one day: the lambs that are there, less one overlooked, one in the wrong group now and then."""
    there = Counter(ewe.group for ewe in ewes for lamb in ewe.live if not lamb.pet and (lamb.gone or NEVER) > on)
    for group in GROUPS:
        there[group] -= dice.random() < MISCOUNTED
    if dice.random() < STRAYS:
        gone, come = dice.sample(GROUPS, 2)
        there[gone] -= 1
        there[come] += 1
    return [{"date": on, "group": group, "stage": stage, "lambs": there[group]} for group in GROUPS]
