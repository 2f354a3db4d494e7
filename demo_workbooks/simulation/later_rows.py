"""The rows of Weights and Counts: scales, and heads through a gate."""

from datetime import date

from demo_workbooks.simulation.births import births
from demo_workbooks.simulation.departures import ewes_gone
from demo_workbooks.simulation.farm import EWES_WEIGHED_ON, GROUPS, MARKING, TURNOUT, WEANING, chance
from demo_workbooks.simulation.flock_plan import PlannedEwe, plan
from demo_workbooks.simulation.growth import reared_with, weights
from demo_workbooks.simulation.lamb_rows import called, lambs_gone
from demo_workbooks.simulation.moves import moves
from template_builder.layout.choices import Stage, Weighed
from template_builder.layout.columns import Row

_STAGES = ((Stage.TURNOUT, TURNOUT), (Stage.MARKING, MARKING), (Stage.WEANING, WEANING))

# Weights of ewes before mating, and what a unit of condition weighs (9.2 kg: van Burgel and others 2011, Merino).
_MATURE_KG, _SHEARLING_KG, _EWE_LAMB_KG, _SPREAD_KG = 74.0, 63.0, 45.0, 5.0
_BOUGHT_LAMB_KG, _BOUGHT_SPREAD_KG = 31.0, 2.5
_USUAL_CONDITION, _KG_A_UNIT = 3.0, 9.2


def weight_rows() -> list[Row]:
    """All weighings in order of date: ewes before the last mating, lambs early in batches, lambs at weaning."""
    rows: list[Row] = [_ewe_weighed(ewe) for ewe in plan()]
    for birth in births():
        for lamb in birth.alive:
            for day, kg in weights()[lamb.name]:
                occasion = Weighed.WEANING if day == WEANING else Weighed.EARLY
                rows.append({"animal": called(lamb.name), "date": day, "kg": kg, "occasion": occasion})
    for bought in moves().bought:
        kg = round(chance("bought weight", bought.tag).gauss(_BOUGHT_LAMB_KG, _BOUGHT_SPREAD_KG))
        rows.append({"animal": bought.tag, "date": WEANING, "kg": float(kg), "occasion": Weighed.WEANING})
    return sorted(rows, key=lambda row: str(row["date"]))


def _ewe_weighed(ewe: PlannedEwe) -> Row:
    usual = _MATURE_KG if ewe.mature else _EWE_LAMB_KG if ewe.ewe_lamb else _SHEARLING_KG
    kg = chance("ewe weight", ewe.number).gauss(usual, _SPREAD_KG)
    kg += ((ewe.condition or _USUAL_CONDITION) - _USUAL_CONDITION) * _KG_A_UNIT
    return {"animal": ewe.number, "date": EWES_WEIGHED_ON, "kg": float(round(kg)), "occasion": Weighed.MATING}


def count_rows() -> list[Row]:
    """Counts of each group at turnout, marking and weaning. Lambs on the bottle run with no group."""
    return [
        {"date": day, "group": group, "stage": stage, "lambs": lambs_in(group, day), "ewes": ewes_in(group, day)}
        for stage, day in _STAGES for group in GROUPS
    ]


def lambs_in(group: str, day: date) -> int:
    """Lambs there on a day with ewes of a group."""
    of_ewe = {ewe.number: ewe.group.name for ewe in plan()}
    there = [
        ewe for name, ewe in reared_with().items()
        if ewe is not None and (name not in lambs_gone() or lambs_gone()[name].on > day)
    ]
    there += [lamb.foster_ewe for lamb in moves().bought]
    return sum(of_ewe[ewe] == group for ewe in there)


def ewes_in(group: str, day: date) -> int:
    """Ewes of a group there on a day, those without lambs too."""
    gone = ewes_gone()
    return sum(
        ewe.group.name == group and (ewe.number not in gone or gone[ewe.number].on > day) for ewe in plan()
    )
