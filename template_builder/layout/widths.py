"""How wide a column must be for the numbers and names in a season, so that two long ones are told apart."""

from collections.abc import Mapping, Sequence

from template_builder.layout.columns import Column, Kind, Row, Sheet
from template_builder.layout.sheets import SHEETS

ROOM = 2.5  # characters beside the longest: the space at the cell's edges
WIDEST = 34.0  # characters: a longer name runs on below or into the next cell
_NUMBERED = 2  # characters that "-2" adds where a lamb is called by ewe and number
# Filled in later, most likely by numbers as long as these.
_LIKE = {"lambs.tag": "ewes.ewe"}


def longest_names(rows: Mapping[str, Sequence[Row]]) -> dict[str, int]:
    """Letters of the longest entry of each column of numbers and names, or of what it points at where that is longer."""
    own = {sheet.address(column): _longest(column, rows.get(sheet.id, ()))
           for sheet in SHEETS for column in sheet.own_columns if column.kind is Kind.IDENTIFIER}
    own |= {address: max(own[address], own[like]) for address, like in _LIKE.items()}
    links = {sheet.address(column): column.links_to for sheet in SHEETS for column in sheet if column.links_to}
    own["animals"] = max(own["ewes.ewe"] + _NUMBERED, own["lambs.tag"])
    return own | {address: max(own[address], own[to]) for address, to in links.items() if address in own}


def _longest(column: Column, rows: Sequence[Row]) -> int:
    return max((len(str(row[column.id])) for row in rows if row.get(column.id) is not None), default=0)


def width_for(longest: int, least: float) -> float:
    """A width in characters that holds an entry so long, and never under the least."""
    return max(least, min(longest + ROOM, WIDEST)) if longest else least


def width_of(sheet: Sheet, column: Column, longest: Mapping[str, int]) -> float:
    """The width of a column of an entry sheet."""
    return width_for(longest.get(sheet.address(column), 0), column.characters)
