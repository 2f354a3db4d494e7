"""Why a ewe may not be fit to travel, as far as the records say. The law of the country and your vet decide."""

from template_builder.layout.alerts import VERY_THIN_BELOW  # rules of transport speak of the emaciated: from memory
from template_builder.layout.choices import Feet
from workbook.results.clinical.looks import last_condition, last_look
from workbook.season.families import Ewe


def unfit_to_travel(ewe: Ewe) -> str:
    """In words, from her last looks and any prolapse written this season; empty where nothing speaks against it."""
    return ", ".join([*_lame(ewe), *["prolapse"] * ewe.prolapsed, *_thin(ewe)])


def _lame(ewe: Ewe) -> list[str]:
    feet = last_look(ewe, "feet")
    return [feet.value.label] if feet and isinstance(feet.value, Feet) and feet.value is not Feet.SOUND else []


def _thin(ewe: Ewe) -> list[str]:
    last = last_condition(ewe)
    return [f"condition {last:g}"] if last is not None and last < VERY_THIN_BELOW else []
