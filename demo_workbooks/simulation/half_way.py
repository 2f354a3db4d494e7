"""The demo's season as it stood on a day in the middle of lambing."""

from datetime import date

from demo_workbooks.simulation.scenario import clean_season
from template_builder.layout.columns import Row


def half_season(until: date) -> dict[str, list[Row]]:
    """Rows with nothing written of ewes that lambed after `until`, nor of anything later than lambing."""
    rows = dict(clean_season())
    late = {row["ewe"] for row in rows["lambing"] if not (isinstance(on := row.get("lambed_on"), date) and on <= until)}

    def still_to_come(sheet: str, keep: tuple[str, ...]) -> list[Row]:
        return [{k: v for k, v in row.items() if k in keep} if row.get("ewe") in late else row for row in rows[sheet]]

    return {
        **rows, "season": [row for row in rows["season"] if row["row_key"] != "as_of"],
        "lambing": still_to_come("lambing", ("ewe", "scanned", "due", "row_key")),
        "lambs": still_to_come("lambs", ("ewe", "lamb_no", "row_key")),
        "weights": [], "counts": [], "ewe_check": [], "treatments": [],
    }
