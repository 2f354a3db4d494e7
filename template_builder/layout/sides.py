"""Sides in milk: a ewe has two. What a number of sides means is decided here, for Python and for formulas alike."""

import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass

BOTH_SIDES = 2
_SIGNS: Mapping[str, Callable[[float, float], bool]] = {"<": operator.lt, "=": operator.eq}


@dataclass(frozen=True)
class Sides:
    """Something that a number of sides in milk says: how it compares (`sign`) with a number of sides."""

    sign: str
    number: int

    def said_by(self, sides: float | None) -> bool:
        """Whether this number says so; a blank says nothing."""
        return sides is not None and _SIGNS[self.sign](sides, self.number)

    def formula(self, cell: str) -> str:
        """The same for a cell of a formula; a blank and words say nothing."""
        return f"AND(ISNUMBER({cell}),{cell}{self.sign}{self.number})"


A_SIDE_DRY = Sides("<", BOTH_SIDES)
BOTH_DRY = Sides("=", 0)
BOTH_IN_MILK = Sides("=", BOTH_SIDES)


def dry_sides(sides: int) -> int:
    """How many of her sides are dry."""
    return max(BOTH_SIDES - sides, 0)
