"""Weighed single lambs of a few rams, and what the lamb model makes of them."""

from datetime import date, timedelta

from seasons import season

from template_builder.layout.choices import Sex, Weighed
from template_builder.layout.columns import Row
from workbook.results.scores.lamb_means import MeansTable, lamb_means
from workbook.results.scores.lamb_model import lamb_model
from workbook.season.season import Season

LAMBED = date(2026, 3, 1)


def flock(rams: dict[str, int], *, breed_by_ram: bool = False, age_by_breed: bool = False, dated: bool = True,
          heavier: float = 0.0) -> Season:
    """Ewes with a single each, by the ram they went to; ram lambs 3 kg heavier, and those of the first ram as told."""
    rows: dict[str, list[Row]] = {"ewes": [], "lambing": [], "lambs": [], "weights": []}
    number = 0
    for at, (ram, ewes) in enumerate(rams.items()):
        for _ in range(ewes):
            number += 1
            name, male = f"E{number}", number % 2 == 0
            breed = ("Mule" if at % 2 else "Cheviot") if breed_by_ram else ("Mule", "Cheviot")[number % 4 < 2]
            born_year = 2018 if age_by_breed and breed == "Mule" else 2021
            rows["ewes"].append({"ewe": name, "born_year": born_year, "ram": ram or None, "breed": breed})
            rows["lambing"].append({"ewe": name, "lambed_on": LAMBED if dated else None, "born_alive": 1})
            rows["lambs"].append({"ewe": name, "lamb_no": 1, "sex": Sex.RAM if male else Sex.EWE, "birth_weight": 4.0})
            kg = 30 + 3 * male + heavier * (at == 0) + (number * 7 % 5 - 2) / 2
            rows["weights"].append({"animal": f"{name}-1", "date": LAMBED + timedelta(90), "kg": kg,
                                    "occasion": Weighed.WEANING})
    return season(**rows)  # type: ignore[arg-type]  # rows by sheet id


def tables(of: Season) -> dict[str, MeansTable]:
    return {table.effect: table for table in lamb_means(lamb_model(of))}
