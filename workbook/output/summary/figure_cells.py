"""How a figure stands in cells: its value in its unit, and what it was counted from."""

from template_builder.files.look import BODY, WRAPPED
from template_builder.files.tab import Cell
from workbook.output.summary.phrases import FEW_WORD, SHARE_UNIT
from workbook.results.litters.figures import Figure

NOT_RECORDED, NOT_DEFINED = "not recorded", "not defined"
WORDS = WRAPPED.with_(align="right", italic=True, size=10)
PER_CENT = BODY.with_(number_format='0.0" %"', bold=True, indent=1, valign="top", align="right")
OTHER_UNIT = BODY.with_(number_format="0.00", bold=True, indent=1, valign="top", align="right")
THOUSAND = 1000
COUNTED = BODY.with_(number_format="#,##0.##", indent=1, valign="top", align="right")
COUNTED_WHOLE = COUNTED.with_(number_format="#,##0")


def value(figure: Figure) -> Cell:
    """The value, or in a word why there is none."""
    if figure.numerator is None and figure.value is None or figure.denominator is None:
        return Cell(NOT_RECORDED, WORDS)
    if figure.value is None:
        return Cell(NOT_DEFINED, WORDS)
    if figure.few:
        return Cell(FEW_WORD, WORDS)
    return Cell(figure.value, PER_CENT if figure.unit == SHARE_UNIT else OTHER_UNIT)


def numerator(figure: Figure) -> Cell:
    return _counted(figure.numerator)


def denominator(figure: Figure) -> Cell:
    return _counted(figure.denominator)


def _counted(number: float | None) -> Cell:
    """Thousands of kilograms are told without their parts: a column holds so many digits."""
    whole = number is not None and (float(number).is_integer() or number >= THOUSAND)
    return Cell(number, COUNTED_WHOLE if whole else COUNTED)
