"""The hill season as it should have been written, rows by sheet: nothing in it is a slip."""

from demo_workbooks.simulation.hill import farm
from demo_workbooks.simulation.hill.flock import flock
from demo_workbooks.simulation.hill.rows import count_rows, lamb_rows, lambing_rows, look_rows, treatment_rows, typed_later
from template_builder.layout.choices import Kept, YesNo
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import lay_ready
from template_builder.scan.tally_rows import TALLIES

TITLE = f"{farm.FLOCK} {farm.YEAR}"


def settings() -> dict[str, Value]:
    """The farm's own values on Season, by id of the setting."""
    return {
        "flock": farm.FLOCK, "year": farm.YEAR, "as_of": farm.AS_OF, "target_ewes": farm.TARGET_EWES,
        "target_loss": farm.TARGET_LOSS, "target_reared": farm.TARGET_REARED,
    }


def groups() -> list[Row]:
    """The hefts; that known by counts only with its tally."""
    return [_group(heft) for heft in farm.HEFTS]


def _group(heft: farm.Heft) -> Row:
    row: dict[str, Value] = {
        "group": heft.name, "ewes_to_ram": heft.ewes_to_ram, "ram_in": farm.RAM_IN, "ram_out": farm.RAM_OUT,
        "ram_breed": farm.BREED, "keep_daughters": YesNo.YES, "kept": Kept.OUTDOORS, "how_recorded": heft.how,
        "marking": farm.MARKING, "weaning": farm.WEANING,
    }
    if heft not in farm.BY_EWE:
        row |= {"tally_ewes": heft.ewes, **{column: heft.scans.get(lambs, 0) for lambs, column in enumerate(TALLIES)}}
    return {**row, "notes": heft.notes} if heft.notes else row


def ewes() -> list[Row]:
    """The rows of Ewes as the build makes them from the scan list."""
    return [ewe.row() for ewe in flock()]


def clean_season() -> dict[str, list[Row]]:
    """Rows by sheet id of the season."""
    laid, later, lambing = lay_ready(ewes(), each_lamb=False), typed_later(), lambing_rows()
    return {
        "season": [{"row_key": id, "value": value} for id, value in settings().items()],
        "groups": groups(),
        "ewes": [{**row, **later.get(str(row["ewe"]), {})} for row in laid["ewes"]],
        "lambing": [{**row, **lambing.get(str(row["ewe"]), {})} for row in laid["lambing"]],
        "lambs": lamb_rows(),
        "weights": [],
        "counts": count_rows(),
        "ewe_check": look_rows(),
        "treatments": treatment_rows(),
        "policy": [],
        "answers": [],
    }
