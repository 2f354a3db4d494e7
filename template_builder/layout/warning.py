"""Last year's warning of a ewe: one line for whoever stands before her at night."""

from collections.abc import Mapping

from template_builder.layout.columns import Value
from template_builder.layout.sheets.ewes import FAULTS
from template_builder.layout.words import shown

# What her row on Ewes says of earlier lambings where no warning is written, each with its words before it.
_IN_WORDS = {"past_prolapse": "prolapse", "past_udder": "udder", "past_abortion": "aborted"}
_COUNTED = {"past_refused": "refused lambs before", "past_lost": "lost lambs before"}
_ANY_FAULT = (*FAULTS, "past_faults")
WARNED_OF = tuple(f"ewes.{column}" for column in ("past_warning", *_IN_WORDS, *_COUNTED, *_ANY_FAULT))


def last_years_warning(row: Mapping[str, Value]) -> str:
    """Last year's warning in its own words, else what the history columns of her row on Ewes say; "" where there is none."""
    if words := shown(row.get("past_warning")):
        return words
    told = [f"{before} {words}" for column, before in _IN_WORDS.items() if (words := shown(row.get(column)))]
    told += [words for column, words in _COUNTED.items() if _some(row.get(column))]
    return ", ".join(told) or ("a fault before" if any(_some(row.get(column)) for column in _ANY_FAULT) else "")


def _some(value: Value) -> bool:
    return isinstance(value, int | float) and value > 0
