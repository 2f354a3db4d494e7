"""One season on an invented farm, as rows by sheet: the scan list, the clean season, the same season with slips."""

from collections.abc import Iterator

from demo_workbooks.simulation import farm
from demo_workbooks.simulation.contractor_list import scan_list_csv
from demo_workbooks.simulation.ewe_rows import ewes_from_list, typed_later
from demo_workbooks.simulation.farm import SEED
from demo_workbooks.simulation.lamb_rows import bought_rows, lamb_rows
from demo_workbooks.simulation.lambing_rows import lambing_rows
from demo_workbooks.simulation.later_rows import count_rows, weight_rows
from demo_workbooks.simulation.looks import look_rows
from demo_workbooks.simulation.slips import with_slips
from demo_workbooks.simulation.treatments import treatment_rows
from template_builder.layout.choices import HowRecorded, Kept, YesNo
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import lay_ready

__all__ = ["SEED", "TITLE", "clean_season", "ewes", "groups", "messy_season", "scan_list_csv", "settings"]


TITLE = f"{farm.FLOCK} {farm.YEAR}"


def settings() -> dict[str, Value]:
    """The farm's own values on Season, by id of the setting."""
    return {
        "flock": farm.FLOCK, "year": farm.YEAR, "as_of": farm.AS_OF, "pens": farm.PENS, "target_ewes": farm.TARGET_EWES,
        "target_loss": farm.TARGET_LOSS, "target_reared": farm.TARGET_REARED,
    }


def groups() -> list[Row]:
    """The two groups with their rams and days."""
    return [
        {
            "group": group.name, "ewes_to_ram": group.ewes_to_ram, "ram_in": group.ram_in, "ram_out": group.ram_out,
            "ram_breed": group.ram_breed, "keep_daughters": YesNo.YES if group.keep_daughters else YesNo.NO,
            "kept": Kept.INDOORS, "how_recorded": HowRecorded.EACH_LAMB, "turnout": farm.TURNOUT, "marking": farm.MARKING,
            "weaning": farm.WEANING, **({"notes": group.notes} if group.notes else {}),
        }
        for group in farm.GROUPS.values()
    ]


def ewes() -> list[Row]:
    """The rows of Ewes as the build makes them from the scan list."""
    return ewes_from_list()


def clean_season() -> dict[str, list[Row]]:
    """Rows by sheet id of the season as it should have been written: nothing in it is a slip."""
    laid, later, lambed = lay_ready(ewes()), typed_later(), lambing_rows()
    return {
        "season": [{"row_key": id, "value": value} for id, value in settings().items()],
        "groups": groups(),
        "ewes": [{**row, **later[str(row["ewe"])]} for row in laid["ewes"]],
        "lambing": [{**row, **lambed.get(str(row["ewe"]), {})} for row in laid["lambing"]],
        "lambs": [*_lambs(laid["lambs"]), *bought_rows()],
        "weights": weight_rows(),
        "counts": count_rows(),
        "ewe_check": look_rows(),
        "treatments": treatment_rows(),
        "policy": [],
        "answers": [],
    }


def messy_season() -> dict[str, list[Row]]:
    """The same season with the slips people make. A cell may hold text where a date, a number or a choice belongs."""
    return with_slips(clean_season())


def _lambs(laid: list[Row]) -> Iterator[Row]:
    """The rows laid ready, filled in, then those added for ewes that were not scanned."""
    written = dict(lamb_rows())
    for row in laid:
        ewe, number = str(row["ewe"]), row["lamb_no"]
        assert isinstance(number, int)
        yield {**row, **written.pop((ewe, number), {})}
    for (ewe, number), added in written.items():
        yield {"ewe": ewe, "lamb_no": number, **added}
