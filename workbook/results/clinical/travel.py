"""Why a ewe may not be fit to travel, as far as the records say. The law of the country and your vet decide."""

from template_builder.layout.choices import Feet, Prolapse, Trouble
from workbook.results.clinical.looks import last_look, looks
from workbook.season.families import Ewe

# Below this condition (0 to 5) she may be too weak for a journey: from memory, rules of transport speak of the emaciated.
TOO_THIN_BELOW = 1.5


def unfit_to_travel(ewe: Ewe) -> str:
    """In words, from her last looks and any prolapse written this season; empty where nothing speaks against it."""
    return ", ".join([*_lame(ewe), *_prolapsed(ewe), *_thin(ewe)])


def _lame(ewe: Ewe) -> list[str]:
    feet = last_look(ewe, "feet")
    return [feet.value.label] if feet and isinstance(feet.value, Feet) and feet.value is not Feet.SOUND else []


def _prolapsed(ewe: Ewe) -> list[str]:
    written = ewe.lambing["prolapse"] if ewe.lambing else None
    return ["prolapse"] if ewe.seen_with(Trouble.PROLAPSE) or written not in (None, Prolapse.NONE) else []


def _thin(ewe: Ewe) -> list[str]:
    last = next((score for look in reversed(looks(ewe, "condition")) if (score := look.record.number(look.column)) is not None),
                None)
    return [f"condition {last:g}"] if last is not None and last < TOO_THIN_BELOW else []
