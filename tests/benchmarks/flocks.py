"""Seasons of any size: the demo flock several times over, each copy with numbers of its own."""

import csv
import math
from collections.abc import Callable, Mapping
from io import StringIO

from demo_workbooks import simulation
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import keyed
from template_builder.layout.whole import SHEET

COPIED = ("ewes", "lambing", "lambs", "weights", "ewe_check")
COUNTED = {"groups": ("ewes_to_ram",), "counts": ("lambs", "ewes")}
ISSUED = ("row_key", "ewe", "scanned", "due", "lamb_no")
COUNTED_SETTINGS = ("pens", "target_ewes")
LONG_TAGS = ("official_tag", "electronic_tag")
TAG_FROM, TAG_TO = 4, 7  # the figures of a long tag that are the flock's own
EWE_IN_LIST, TAG_IN_LIST = 0, 12  # columns of the contractor's list


def season_of(ewes: int) -> dict[str, list[Row]]:
    """A clean season of at least so many ewes, by sheet id: whole copies of the demo season, in its two groups."""
    season = simulation.clean_season()
    copies = math.ceil(ewes / len(season["ewes"]))
    numbers = frozenset(str(row["ewe"]) for row in season["ewes"])
    sheets = {id: [copy for row in rows for copy in _copies(id, row, copies, numbers)] for id, rows in season.items()}
    for id, columns in COUNTED.items():
        sheets[id] = [_times(row, columns, copies) for row in sheets[id]]
    sheets["season"] = [_times(row, ("value",) if row["row_key"] in COUNTED_SETTINGS else (), copies) for row in sheets["season"]]
    return sheets


def with_slips(season: Mapping[str, list[Row]], slips: int) -> dict[str, list[Row]]:
    """The same season with so many birth weights written as words, spread over Lambs."""
    weighed = [at for at, row in enumerate(season["lambs"]) if "birth_weight" in row]
    spoilt = set(weighed[:: max(1, len(weighed) // slips)][:slips])
    lambs = [{**row, "birth_weight": "heavy"} if at in spoilt else row for at, row in enumerate(season["lambs"])]
    return {**season, "lambs": lambs}


def copies_of(season: Mapping[str, list[Row]]) -> tuple[dict[str, list[Row]], dict[str, list[Row]]]:
    """The season as two people filled it in: every other row of Lambing and Lambs each, the rest as it was issued."""
    def filled_by(own: int) -> dict[str, list[Row]]:
        return {**season, **{
            id: [row if at % 2 == own else {column: row[column] for column in ISSUED if column in row}
                 for at, row in enumerate(season[id])]
            for id in ("lambing", "lambs")
        }}

    return filled_by(0), filled_by(1)


def scan_list_of(ewes: int) -> str:
    """The contractor's list of at least so many ewes, as CSV."""
    lines = list(csv.reader(StringIO(simulation.scan_list_csv())))
    title, headings, *rest = lines
    listed = [line for line in rest if line != headings and line[0] != "Total"]
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([title, headings])
    for copy in range(math.ceil(ewes / len(listed))):
        for line in listed:
            again = list(line)
            again[EWE_IN_LIST] = _ewe(line[EWE_IN_LIST].strip(), copy)
            again[TAG_IN_LIST] = _long_tag(line[TAG_IN_LIST], copy)
            writer.writerow(again)
    return out.getvalue()


def _copies(id: str, row: Row, copies: int, ewes: frozenset[str]) -> list[Row]:
    animal = id in COPIED or (id == "treatments" and str(row.get("animal", ""))[:1].isdigit())
    return [_renamed(id, row, copy, ewes) for copy in range(copies)] if animal else [row]


def _renamed(id: str, row: Row, copy: int, ewes: frozenset[str]) -> Row:
    def animal(name: str, copy: int) -> str:
        number, dash, lamb = name.partition("-")
        return _ewe(number, copy) + dash + lamb if number in ewes else _lamb(name, copy)

    names: Mapping[str, Callable[[str, int], str]] = {
        "ewe": _ewe, "foster_ewe": _ewe, "animal": animal, "tag": _lamb, "also_known_as": _lamb,
        **dict.fromkeys(LONG_TAGS, _long_tag),
    }
    again = {column: names[column](str(value), copy) if column in names else value for column, value in row.items()}
    return keyed(SHEET[id], again) if "row_key" in row else again


def _ewe(number: str, copy: int) -> str:
    return f"{copy}{number}" if copy else number


def _lamb(tag: str, copy: int) -> str:
    return f"{tag}{copy:03}"


def _long_tag(tag: str, copy: int) -> str:
    return f"{tag[:TAG_FROM]}{int(tag[TAG_FROM:TAG_TO]) - copy:03}{tag[TAG_TO:]}" if tag else tag


def _times(row: Row, columns: tuple[str, ...], copies: int) -> Row:
    def times(value: Value) -> Value:
        return value * copies if isinstance(value, int) else value

    return {column: times(value) if column in columns else value for column, value in row.items()}
