"""The group as frames: a row for each farm and figure, a row for each figure and the farms alike in it."""

from collections.abc import Sequence

import pandas as pd

from workbook.comparing.farm import Farm
from workbook.comparing.like import LEAST_FARMS, Entry, entries, too_few
from workbook.comparing.measures import MEASURES

QUARTERS = ("lowest quarter", "second quarter", "third quarter", "highest quarter")
QUARTILES = {0.25: "lower_quartile", 0.5: "median", 0.75: "upper_quartile"}
FIGURE_COLUMNS = ("figure", "title", "like", "farm", "value", "unit", "numerator", "denominator", "farms", "place", "quarter",
                  *QUARTILES.values(), "target", "last_season", "why")
OF_A_GROUP = ("figure", "title", "like", "unit", "farms", *QUARTILES.values(), "numerator", "denominator", "pooled")
BY = ["figure", "like"]
NEAR = 1e-9  # a value so near a quartile lies on it
NUMBERS = ("value", "numerator", "denominator", "target", "last_season")


def figures_frame(farms: Sequence[Farm], *, together: bool = False) -> pd.DataFrame:
    """A row for each figure and farm, in the order of figures, of what farms have in common, and of letters.

    `value` and quartiles are in `unit`; `place` counts from the lowest value among `farms` farms alike. Where `why` says
    something the farm is compared with nobody, and place, quarter and quartiles are NA.
    """
    rows = [_row(entry) for entry in entries(farms, together=together)]
    found = pd.DataFrame(rows, columns=["figure", "title", "like", "farm", "value", "unit", "numerator", "denominator",
                                        "target", "last_season", "why"])
    found = found.astype(dict.fromkeys(NUMBERS, "float64"))
    fit = found[found["why"] == ""]
    by_set = fit.groupby(BY, sort=False)["value"]
    found["farms"] = by_set.transform("size").reindex(found.index).fillna(0).astype("Int64")
    found["place"] = by_set.rank(method="min").reindex(found.index).astype("Int64")
    for share, name in QUARTILES.items():
        found[name] = by_set.transform("quantile", share).reindex(found.index)
    found["quarter"] = _quarters(found)
    few = (found["why"] == "") & (found["farms"] < LEAST_FARMS)
    sets = zip(found["like"][few], found["farms"][few], strict=True)
    found.loc[few, "why"] = [too_few(like, int(number)) for like, number in sets]
    found.loc[few, ["place", *QUARTILES.values()]] = pd.NA
    found.loc[few, "quarter"] = None
    return _in_order(found)[list(FIGURE_COLUMNS)]


def _row(entry: Entry) -> tuple[object, ...]:
    measure, farm, number, like = entry
    return (measure.id, measure.title, like, farm.letter, number.value, number.unit, number.numerator, number.denominator,
            farm.targets.get(measure.id), farm.last.get(measure.id), number.why)


def _quarters(found: pd.DataFrame) -> list[str | None]:
    """In which quarter of the group each value lies; one on a quartile is in the quarter below it."""
    above = found[list(QUARTILES.values())].add(NEAR).lt(found["value"], axis=0).sum(axis=1)
    return [QUARTERS[int(at)] if known else None for at, known in zip(above, found["median"].notna(), strict=True)]


def _in_order(found: pd.DataFrame) -> pd.DataFrame:
    order = {measure.id: at for at, measure in enumerate(MEASURES)}
    keyed = found.assign(_at=found["figure"].map(order), _size=-found.groupby(BY)["farm"].transform("size"),
                         _long=found["farm"].str.len())
    return keyed.sort_values(["_at", "_size", "like", "_long", "farm"], kind="stable").reset_index(drop=True)


def group_frame(figures: pd.DataFrame) -> pd.DataFrame:
    """A row for each figure and the farms alike in it, five or more: quartiles, and all their animals together.

    `pooled` is what is counted in all farms over what it is counted against, in `unit`; per cent for shares.
    """
    fit = figures[(figures["why"] == "") & figures["median"].notna()]
    firsts = dict.fromkeys(("title", "unit", "farms", *QUARTILES.values()), "first")
    found = fit.groupby(BY, sort=False).agg({**firsts, "numerator": "sum", "denominator": "sum"}).reset_index()
    scale = found["unit"].map(lambda unit: 100.0 if unit == "%" else 1.0)
    found["pooled"] = scale * found["numerator"] / found["denominator"]
    return found[list(OF_A_GROUP)]
