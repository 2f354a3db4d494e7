"""Where the rows of each ewe were laid ready, and the few rows that stand elsewhere now.

A search through a whole sheet for each ewe takes time that grows with the square of the flock. So the build writes down whose
each row is, a ewe looks at her own rows, and through all of them only where one of hers is among the rows astray, or where
these are too many to list: on sorted sheets and in day books the lists are right as well, only slower.
"""

from collections.abc import Mapping, Sequence

from template_builder.layout.columns import Row
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet

LISTED = 60  # rows astray that are listed of each kind
CLOSE_BY = 4  # rows of lambs laid ready for a ewe at the most
LAID = LiveColumn("laid", "")  # the ewe whom this row was laid ready for, 0 for none
ON_LAMBING, ON_LAMBS = LiveColumn("on_lambing", ""), LiveColumn("on_lambs", "")  # her row there, and her first one

_ASTRAY = {"lambing": "live_lambing_astray", "bearer": "live_lambs_bearer_astray", "rearer": "live_lambs_rearer_astray"}
ASTRAY = LiveSheet("astray", tuple(
    LiveColumn(id, f"IF({{k}}>live_many_{id},0,LARGE({rows},{{k}}))") for id, rows in _ASTRAY.items()
), rows=LISTED)
HOW_MANY = tuple(LiveCell(f"many_{id}", f'COUNTIF({rows},">0")') for id, rows in _ASTRAY.items())


def astray(ewe: str) -> str:
    """The ewe of a row that was not laid ready for her, else 0."""
    return f"IFERROR(IF(OR({ewe}<1,{ewe}={{laid}}),0,{ewe}),0)"


def _in_place(id: str) -> str:
    """Whether no row of this ewe is astray."""
    return f"IF(live_many_{id}>{LISTED},FALSE,COUNTIF(live_astray_{id},{{k}})=0)"


def row_of_hers() -> str:
    """Her row on Lambing, 0 where she has none."""
    own = "IF({on_lambing}=0,0,IFERROR(IF(INDEX(live_lambing_ewe,{on_lambing})={k},{on_lambing},0),0))"
    return f"IF({_in_place('lambing')},{own},IFERROR(MATCH({{k}},live_lambing_ewe,0),0))"


def summed(id: str, counts: str) -> str:
    """The sum of a column of Lambs over the rows of which she is the bearer or the rearer."""
    ewes, last = f"live_lambs_{id}", f"MIN({{on_lambs}}+{CLOSE_BY - 1},ROWS(live_lambs_{id}))"
    hers, other = (f"INDEX({rows},{{on_lambs}}):INDEX({rows},{last})" for rows in (ewes, f"live_lambs_{counts}"))
    own = f"IF({{on_lambs}}=0,0,SUMIF({hers},{{k}},{other}))"
    return f"IF({_in_place(id)},{own},SUMIF({ewes},{{k}},live_lambs_{counts}))"


def laid_ready(rows: Mapping[str, Sequence[Row]]) -> dict[str, dict[str, list[int]]]:
    """Whose each row of Lambing and Lambs is, and where the rows of each ewe stand: by block and column."""
    numbers: dict[str, int] = {}
    for number, row in enumerate(rows["ewes"], start=1):
        numbers.setdefault(_name(row), number)
    numbers.pop("", None)
    on_lambing, lambing = _hers(rows["lambing"], numbers, len(rows["ewes"]), 1)
    on_lambs, lambs = _hers(rows["lambs"], numbers, len(rows["ewes"]), CLOSE_BY)
    return {
        "ewes": {ON_LAMBING.id: on_lambing, ON_LAMBS.id: on_lambs}, "lambing": {LAID.id: lambing}, "lambs": {LAID.id: lambs},
    }


def _hers(rows: Sequence[Row], numbers: Mapping[str, int], ewes: int, most: int) -> tuple[list[int], list[int]]:
    """The first row of each ewe, and the ewe of each row that is one of her first so many, counted from that one."""
    first: dict[int, int] = {}
    whose: list[int] = []
    for place, row in enumerate(rows, start=1):
        ewe = numbers.get(_name(row), 0)
        close = ewe and place < first.setdefault(ewe, place) + most
        whose.append(ewe if close else 0)
    return [first.get(ewe, 0) for ewe in range(1, ewes + 1)], whose


def _name(row: Row) -> str:
    return str(row.get("ewe") or "").strip()
