"""Last year's warning of a ewe: one line for whoever stands before her at night."""

from collections.abc import Mapping

from template_builder.layout.columns import Value
from template_builder.layout.sheets.ewes import FAULTS
from template_builder.layout.words import shown

# What her row on Ewes says of earlier lambings where no warning is written, each with its words before it.
IN_WORDS = {"past_prolapse": "prolapse", "past_udder": "udder", "past_abortion": "aborted"}
COUNTED = {"past_refused": "refused lambs before", "past_lost": "lost lambs before"}
ANY_FAULT, ANY_WORDS = (*FAULTS, "past_faults"), "a fault before"
WARNED_OF = tuple(f"ewes.{column}" for column in ("past_warning", *IN_WORDS, *COUNTED, *ANY_FAULT))


def last_years_warning(row: Mapping[str, Value]) -> str:
    """Last year's warning in its own words, else what the history columns of her row on Ewes say; "" where there is none."""
    if words := shown(row.get("past_warning")):
        return words
    told = [f"{before} {words}" for column, before in IN_WORDS.items() if (words := shown(row.get(column)))]
    told += [words for column, words in COUNTED.items() if _some(row.get(column))]
    return ", ".join(told) or (ANY_WORDS if any(_some(row.get(column)) for column in ANY_FAULT) else "")


def _some(value: Value) -> bool:
    return isinstance(value, int | float) and value > 0
