"""The rows of Ewes: as the scan list has them, and what is typed in later."""

from math import sqrt

from demo_workbooks.simulation.contractor_list import remark
from demo_workbooks.simulation.departures import ewes_gone
from demo_workbooks.simulation.farm import SCANNED_ON, chance
from demo_workbooks.simulation.flock_plan import PlannedEwe, plan
from demo_workbooks.simulation.stories import Story, stories
from template_builder.layout.columns import Row, Value
from template_builder.layout.sheets.ewes import FAULTS, POOR

_HISTORY_KNOWN = 0.35  # share of ewes whose earlier lambings were typed in from old books
_LAMBINGS_KNOWN = 2
_FAULT, _REFUSED, _LOST = 0.16, 0.4, 0.4  # a fault at a lambing; of those, refused a lamb; lost all she bore
_LITTER_SPREAD = 4.0  # kg; litter weights of one season against like ewes, near the spread the demo's own lambs show
_RENAMED = ("W77", "W81")


def ewes_from_list() -> list[Row]:
    """One row for each ewe as the build makes it from the scan list."""
    return [_from_list(ewe) for ewe in plan()]


def _from_list(ewe: PlannedEwe) -> Row:
    row: dict[str, Value] = {
        "ewe": ewe.number, "scanned": ewe.scanned, "due": ewe.due, "group": ewe.group.name, "mark": ewe.mark,
        "breed": ewe.breed, "born_year": ewe.born_year, "lambings_before": ewe.lambings_before, "ram": ewe.ram,
        "mated_on": ewe.mated_on, "scanned_on": SCANNED_ON, "condition": ewe.condition, "official_tag": ewe.official_tag,
        "notes": remark(ewe) or None,
    }
    return {column: value for column, value in row.items() if value is not None}


def typed_later() -> dict[str, Row]:
    """What was filled in on Ewes after the build, by ewe: earlier seasons, another number, the day she left."""
    mature = [ewe.number for ewe in plan() if ewe.mature]
    renamed = dict(zip(chance("renamed").sample(mature, len(_RENAMED)), _RENAMED, strict=True))
    rows: dict[str, Row] = {}
    for ewe in plan():
        row = dict(_history(ewe))
        if other := renamed.get(ewe.number):
            row["also_known_as"] = other
        if gone := ewes_gone().get(ewe.number):
            row |= {"left_on": gone.on, "left_how": gone.how, "left_why": gone.why}
        rows[ewe.number] = row
    return rows


def _history(ewe: PlannedEwe) -> Row:
    dice, story = chance("history", ewe.number), stories().get(ewe.number)
    refuses = story is Story.REFUSES and ewe.mature
    if not ewe.mature or not ewe.lambings_before or (dice.random() > _HISTORY_KNOWN and not refuses):
        return {}
    known = min(ewe.lambings_before, _LAMBINGS_KNOWN)
    refused = 0
    faults, poor = [0] * known, [0] * known  # the latest lambing first
    for at in range(known):
        if dice.random() < _FAULT or (refuses and at == 0):
            faults[at] = 1
            what = 0.0 if refuses and at == 0 else dice.random()
            refused += what < _REFUSED
            poor[at] = int(_REFUSED <= what < _REFUSED + _LOST)
    lost = sum(poor)
    row: dict[str, Value] = {
        "past_lambings": known, **dict(zip((*FAULTS[:known], *POOR[:known]), (*faults, *poor), strict=True)),
        "past_litter_deviation": round(chance("earlier litters", ewe.number).gauss(0, _LITTER_SPREAD / sqrt(known)), 1),
        "past_litter_seasons": known,
    }
    if any(faults):
        row["past_warning"] = "refused a lamb" if refused else "lost her lambs" if lost else "little milk"
    return row
