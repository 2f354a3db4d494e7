"""Weaning weights of the demo season worked out again from its rows alone: no join and no part of the program."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from statistics import fmean

import pandas as pd

from template_builder.layout.choices import Born, LambLeft, RearedBy, Sex, Weighed
from template_builder.layout.columns import Row

Rows = Mapping[str, Sequence[Row]]
FORMULA = "kg ~ C(sex) + C(kind) + C(age) + C(grp) + C(ram) + C(breed)"
AT_DAYS = 90


def lambs_again(rows: Rows) -> pd.DataFrame:
    """One line for each lamb born here, weighed at weaning: `row` on Lambs, `ewe` rearing it, its classes, kg at 90 days."""
    lambed = {str(row["ewe"]): row for row in rows["lambing"] if "lambed_on" in row}
    ewes = {str(row["ewe"]): row for row in rows["ewes"]}
    born = Counter(str(row["ewe"]) for row in rows["lambs"] if _born(row))
    together = Counter(rearer for row in rows["lambs"] if row.get("born") is Born.ALIVE and (rearer := _rearer(row))
                       and row.get("left_how") not in (LambLeft.DIED, LambLeft.MISSING))
    taken = {str(row["animal"]): row for row in rows["weights"] if row["occasion"] is Weighed.WEANING}
    found, far = [], 0
    for number, row in enumerate(rows["lambs"], start=4):
        taking = taken.get(str(row.get("tag"))) or taken.get(f"{row.get('ewe')}-{row.get('lamb_no')}")
        if taking is None or "ewe" not in row or row.get("born") is not Born.ALIVE:
            continue
        dam, rearer = str(row["ewe"]), _rearer(row)
        beside = rearer or dam
        litter, day = min(born[dam], 3), lambed[dam]["lambed_on"]
        assert isinstance(day, date) and isinstance(taking["date"], date) and isinstance(taking["kg"], float | int)
        born_at = row.get("birth_weight") or _mean_birth_weight(rows, born)[_male(row), litter]
        assert isinstance(born_at, float | int)
        age = (taking["date"] - day).days
        far += abs(age - AT_DAYS) > 28
        found.append({
            "row": number, "ewe": (rearer or f"row {number}"), "sex": row["sex"].label,  # type: ignore[union-attr]
            "kind": _kind(litter, together[rearer]) if rearer else "hand",
            "age": str(2026 - int(str(ewes[beside]["born_year"]))),
            "grp": str(lambed[beside].get("turned_out_to") or ewes[beside]["group"]),
            "ram": ewes[dam]["ram"], "breed": ewes[dam]["breed"], "kg": born_at + (taking["kg"] - born_at) / age * AT_DAYS,
        })
    assert far < 10  # else they would keep the weight the scale said
    data = pd.DataFrame(found)
    return data[data["kind"] != "3, 3"].reset_index(drop=True)  # one litter: too few like them


def _born(row: Row) -> bool:
    return "ewe" in row and row.get("born") in (Born.ALIVE, Born.DEAD_FRESH, Born.DEAD_DECAYED)


def _rearer(row: Row) -> str | None:
    if "foster_ewe" in row:
        return str(row["foster_ewe"])
    return None if row.get("reared_by") in (RearedBy.PET, RearedBy.NO_EWE) else str(row["ewe"])


def _kind(litter: int, together: int) -> str:
    """The classes under ten joined with the smaller beside them, as many reared together."""
    return {(2, 1): "2 or 3, 1", (3, 1): "2 or 3, 1", (1, 2): "1 or 2, 2", (2, 2): "1 or 2, 2"}.get(
        (litter, together), f"{litter}, {together}")


def _male(row: Row) -> bool:
    return row["sex"] is not Sex.EWE


def _mean_birth_weight(rows: Rows, born: Counter[str]) -> dict[tuple[bool, int], float]:
    weights: dict[tuple[bool, int], list[float]] = defaultdict(list)
    for row in rows["lambs"]:
        if row.get("born") is Born.ALIVE and "birth_weight" in row and "ewe" in row:
            weights[_male(row), min(born[str(row["ewe"])], 3)].append(row["birth_weight"])  # type: ignore[arg-type]
    return {key: fmean(kgs) for key, kgs in weights.items()}
