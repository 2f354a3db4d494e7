"""The season that is damaged: six ewes, eleven lambs, nothing wrong with it. Rows stand in rows 4, 5, ... of each sheet."""

from datetime import date, datetime, time, timedelta
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, Cause, LambLeft, Sex, Weighed, YesNo
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready

TITLE = "Lambing season 2026"
AS_OF = datetime(2026, 7, 1, 12, 0)
EWES = (("0412", 2), ("0415", 1), ("0421", 2), ("0430", 1), ("0437", 3), ("0444", 2))
FIRST_DUE, WEIGHED_ON = date(2026, 3, 28), date(2026, 6, 1)
BIRTH_WEIGHT = {1: 5.2, 2: 4.4, 3: 3.5}
LOST = ("0437", 3)


def rows() -> dict[str, list[Row]]:
    """Every row of the season, by sheet."""
    ewes: list[Row] = [
        {"ewe": ewe, "scanned": scanned, "due": FIRST_DUE + timedelta(days=number), "breed": "Mule", "group": "Top field",
         "official_tag": f"UK 0123456 0{ewe}", "condition": 3.0}
        for number, (ewe, scanned) in enumerate(EWES)
    ]
    found = lay_ready(ewes)
    scanned = dict(EWES)
    found["lambing"] = [{**row, **_lambing(row)} for row in found["lambing"]]
    found["lambs"] = [{**row, **_lamb(number, row, scanned[str(row["ewe"])])} for number, row in enumerate(found["lambs"])]
    found["weights"] = [
        {"animal": lamb["tag"], "date": WEIGHED_ON, "kg": 18.0 + number / 2, "occasion": Weighed.EARLY}
        for number, lamb in enumerate(found["lambs"]) if "left_on" not in lamb
    ]
    ram = {"ram_in": date(2025, 11, 1), "ram_out": date(2025, 12, 6)}
    found["groups"] = [{"group": "Top field", "ewes_to_ram": len(EWES), **ram}]
    found["ewe_check"] = [{"ewe": "0415", "date": WEIGHED_ON}]
    found["season"] = [{"row_key": "year", "value": 2026}, {"row_key": "as_of", "value": AS_OF}]
    return found


def _lambing(row: Row) -> Row:
    due = row["due"]
    assert isinstance(due, date)
    on = due + timedelta(days=1)
    return {"lambed_on": on, "all_well": YesNo.YES, "mothering": 4, "waters_seen": datetime.combine(on, time(2, 30))}


def _lamb(number: int, row: Row, litter: int) -> Row:
    lamb = {"tag": f"{7001 + number}", "sex": Sex.EWE if number % 2 else Sex.RAM, "born": Born.ALIVE,
            "birth_weight": BIRTH_WEIGHT[litter], "notes": "quiet"}
    if (row["ewe"], row["lamb_no"]) == LOST:
        lamb |= {"left_on": date(2026, 4, 3), "left_how": LambLeft.DIED, "cause": Cause.STARVED}
    return lamb


def write(path: Path) -> Path:
    """The season as a workbook."""
    build(path, Plan(TITLE, rows()))
    return path
