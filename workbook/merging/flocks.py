"""Whether workbooks are copies of one season workbook: a merge of two flocks would be neither."""

from collections.abc import Sequence
from itertools import combinations

from workbook.season.matching import fold
from workbook.season.season import Season

# House rule: copies of one workbook have nearly all ewes in common, two flocks only the numbers both happen to use.
LEAST_IN_COMMON = 0.1


def not_copies(seasons: Sequence[Season]) -> str:
    """A sentence that says which two are not copies of one season workbook; empty where all may be."""
    return next((found for one, other in combinations(seasons, 2) if (found := _difference(one, other))), "")


def _difference(one: Season, other: Season) -> str:
    numbers, others = _ewes(one), _ewes(other)
    what = "ewes"
    if not numbers or not others:
        numbers, others, what = _groups(one), _groups(other), "groups"
    common = len(numbers & others)
    if common < LEAST_IN_COMMON * min(len(numbers), len(others)):
        return (f"{one.file} and {other.file} are of different flocks: of {len(numbers)} and {len(others)} {what} they have "
                f"{common} in common. Merge only copies of one season workbook.")
    return _other_season(one, other)


def _other_season(one: Season, other: Season) -> str:
    """Numbers may be in common by chance, or a year apart; then flock or year differ and no row was issued in both."""
    keys, others = _row_keys(one), _row_keys(other)
    if not keys or not others or keys & others:
        return ""
    for id, what in (("flock", "flock"), ("year", "lambing year")):
        here, there = one.settings.value(id), other.settings.value(id)
        if here is not None and there is not None and fold(str(here)) != fold(str(there)):
            return (f"{one.file} and {other.file} are not copies of one workbook: the {what} on Season is {here} in one and "
                    f"{there} in the other, and none of their rows were laid ready together. Merge only copies of one "
                    "season workbook.")
    return ""


def _ewes(season: Season) -> set[str]:
    rows = (row for sheet in ("ewes", "lambing", "lambs") for row in season.rows(sheet))
    return {fold(ewe) for row in rows if (ewe := row.text("ewe"))}


def _groups(season: Season) -> set[str]:
    return {fold(group) for row in season.rows("groups") if (group := row.text("group"))}


def _row_keys(season: Season) -> set[str]:
    """The keys of rows laid ready from the scan; those of Lambs say nothing of the year."""
    return {row.key for sheet in ("ewes", "lambing") for row in season.rows(sheet) if row.key}
