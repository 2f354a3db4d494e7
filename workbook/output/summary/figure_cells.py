"""How a figure stands in cells: its value in its unit, and what it was counted from."""

from math import isclose

from template_builder.files.look import BODY, WRAPPED
from template_builder.files.tab import Cell
from workbook.output.summary.phrases import FEW_WORD, SHARE_UNIT
from workbook.results.litters.figures import Figure
from workbook.results.statistics.proportions import PER_CENT as PER_CENT_OF

NOT_RECORDED, NOT_DEFINED = "not recorded", "not defined"
WORDS = WRAPPED.with_(align="right", italic=True, size=10)
PER_CENT = BODY.with_(number_format='0.0" %"', bold=True, indent=1, valign="top", align="right")
OTHER_UNIT = BODY.with_(number_format="0.00", bold=True, indent=1, valign="top", align="right")
THOUSAND = 1000
COUNTED = BODY.with_(number_format="#,##0.##", indent=1, valign="top", align="right")
COUNTED_WHOLE = COUNTED.with_(number_format="#,##0")


def value(figure: Figure, above: str = "", below: str = "") -> Cell:
    """The value, or in a word why there is none; worked out from what is counted and against what, where these stand in
    columns `above` and `below` of its row.
    """
    if figure.numerator is None and figure.value is None or figure.denominator is None:
        return Cell(NOT_RECORDED, WORDS)
    if figure.value is None:
        return Cell(NOT_DEFINED, WORDS)
    if figure.few:
        return Cell(FEW_WORD, WORDS)
    style = PER_CENT if figure.unit == SHARE_UNIT else OTHER_UNIT
    return Cell(figure.value, style, formula=_formula(figure, above, below) if above and below else "")


def _formula(figure: Figure, above: str, below: str) -> str:
    """What works the value out in its row; "" where it is more than one number over another."""
    scale = PER_CENT_OF if figure.unit == SHARE_UNIT else 1
    if not figure.numerator or not figure.denominator or figure.value is None:
        return ""
    same = isclose(figure.value, scale * figure.numerator / figure.denominator, rel_tol=1e-12)
    return f"={'100*' if scale == PER_CENT_OF else ''}{above}{{row}}/{below}{{row}}" if same else ""


def numerator(figure: Figure) -> Cell:
    return _counted(figure.numerator)


def denominator(figure: Figure) -> Cell:
    return _counted(figure.denominator)


def _counted(number: float | None) -> Cell:
    """Thousands of kilograms are told without their parts: a column holds so many digits."""
    whole = number is not None and (float(number).is_integer() or number >= THOUSAND)
    return Cell(number, COUNTED_WHOLE if whole else COUNTED)
