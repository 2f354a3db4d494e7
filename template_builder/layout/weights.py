"""Weights as people write them: what each unit is in kilograms, and what "9 lb 4 oz" or "4,2 kg" comes to."""

import re
from math import isfinite

from template_builder.layout.choices import WeightUnit

KG = WeightUnit.KG.label  # the unit of a column or setting that holds a weight
# International pound, exactly: international yard and pound agreement, 1959. An ounce is a sixteenth of it.
KG_IN_POUND = 0.45359237
OUNCES_IN_POUND = 16
GRAMS_IN_KG = 1000
IN_KG = {WeightUnit.KG: 1.0, WeightUnit.LB: KG_IN_POUND}

_ONE_PLACE = 1  # of a limit in pounds: scales show no more

_KILOS = frozenset({"kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"})
_GRAMS = frozenset({"g", "gr", "gm", "gram", "grams"})
_POUNDS = frozenset({"lb", "lbs", "pound", "pounds"})
_OUNCES = frozenset({"oz", "ozs", "ounce", "ounces"})
_PARTS = {"½": 0.5, "1/2": 0.5, "¼": 0.25, "1/4": 0.25, "¾": 0.75, "3/4": 0.75}
_WEIGHT = re.compile(
    r"(?P<sign>[+-]?)(?P<amount>\d+(?:[.,]\d+)?)(?:\s*(?P<sign_of_part>[½¼¾])|\s+(?P<part>[13]/[24]))?\s*(?P<unit>[a-z]*)\.?"
    r"(?:,?\s*(?P<ounces>\d+(?:[.,]\d+)?)\s*(?P<ounce>[a-z]*)\.?)?", re.IGNORECASE,
)
_WORD = re.compile(r"[a-z]+")
_THOUSANDS = re.compile(r"[+-]?\d{1,3},\d{3}\D*")  # 1,250 may be twelve hundred or one and a quarter


def weight_of(text: str, bare: WeightUnit) -> float | None:
    """Kilograms of a weight written in words and figures; one without a unit is in `bare`. None where it is no weight."""
    found = _WEIGHT.fullmatch(text.strip())
    if not found or _THOUSANDS.fullmatch(text.strip()):
        return None
    part = found["sign_of_part"] or found["part"]
    if part and (part not in _PARTS or not found["amount"].isdigit()):
        return None
    amount = _number(found["amount"]) + _PARTS.get(part, 0.0)
    kg = _with_ounces(found, amount) if found["ounces"] else _in_kg(amount, found["unit"].casefold(), bare)
    if kg is None or not isfinite(kg):
        return None
    return -kg if found["sign"] == "-" else kg


def _with_ounces(found: re.Match[str], pounds: float) -> float | None:
    """Pounds and ounces: whole pounds, and fewer ounces than make another."""
    ounces = _number(found["ounces"])
    in_pounds = found["unit"].casefold() in _POUNDS and found["ounce"].casefold() in _OUNCES | {""}
    if not in_pounds or not pounds.is_integer() or ounces >= OUNCES_IN_POUND:
        return None
    return (pounds + ounces / OUNCES_IN_POUND) * KG_IN_POUND


def _in_kg(amount: float, unit: str, bare: WeightUnit) -> float | None:
    if not unit:
        return amount * IN_KG[bare]
    if unit in _KILOS:
        return amount
    if unit in _GRAMS:
        return amount / GRAMS_IN_KG
    if unit in _POUNDS:
        return amount * KG_IN_POUND
    return amount / OUNCES_IN_POUND * KG_IN_POUND if unit in _OUNCES else None


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def in_unit(kg: float, unit: WeightUnit) -> float:
    """A limit in kg as people who weigh in this unit would say it."""
    return kg if unit is WeightUnit.KG else round(kg / IN_KG[unit], _ONE_PLACE)


def unit_in(heading: str) -> WeightUnit | None:
    """The unit a heading names; None where it names none, or both."""
    words = set(_WORD.findall(heading.casefold()))
    found = [unit for unit, known in ((WeightUnit.KG, _KILOS), (WeightUnit.LB, _POUNDS)) if words & known]
    return found[0] if len(found) == 1 else None


def has_unit(text: str) -> bool:
    """Whether a weight as written says its unit."""
    return any(sign.isalpha() for sign in text)
