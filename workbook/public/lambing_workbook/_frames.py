"""A season as pandas frames: one row an animal, a weighing, a problem or a figure."""

from collections.abc import Iterable, Sequence
from datetime import time
from typing import Any

import pandas as pd

from template_builder.layout.choices import Choice
from template_builder.layout.columns import Kind, Value
from template_builder.layout.whole import SHEET
from workbook.results.pipeline import Checked, Result
from workbook.rules.rule import Problem
from workbook.season.ages import age_in_years
from workbook.season.cells import Record
from workbook.season.families import Ewe, Lamb
from workbook.season.season import Season

SHEET_COLUMN, ROW_COLUMN = "_sheet", "_row"
PLACE = (SHEET_COLUMN, ROW_COLUMN)
OF_A_EWE = ("age", "decision", "reasons", "mothering", "litter_kg", "litter_above")
OF_A_PROBLEM = ("rule", "severity", "cell", "value", "message")
OF_A_FIGURE = ("id", "label", "value", "unit", "numerator", "denominator", "low", "high", "known", "of", "definition")
OTHER = {
    "age": Kind.WHOLE, "mothering": Kind.NUMBER, "litter_kg": Kind.NUMBER, "litter_above": Kind.NUMBER, ROW_COLUMN: Kind.WHOLE,
}
Row = dict[str, object]


def all_frames(found: Result | Checked) -> dict[str, pd.DataFrame]:
    """See `lambing_workbook.frames`."""
    season, result = found.season, found if isinstance(found, Result) else None
    made = {
        "ewes": _frame("ewes", ("ewe",), OF_A_EWE, (_ewe(season, ewe, result) for ewe in season.flock.ewes.values())),
        "lambs": _frame("lambs", ("lamb",), (), (_lamb(lamb) for lamb in season.flock.lambs)),
        "weights": _frame("weights", (), (), (_cells(record, "weights") for record in season.rows("weights"))),
        "problems": _plain(OF_A_PROBLEM, (_problem(one) for one in found.problems)),
    }
    if result is not None:
        made["figures"] = _plain(OF_A_FIGURE, ({name: getattr(one, name) for name in OF_A_FIGURE} for one in result.figures))
    return made


def _frame(sheet: str, first: Sequence[str], last: Sequence[str], rows: Iterable[Row]) -> pd.DataFrame:
    """Columns of a sheet with others before and after, each of one type whatever the rows hold."""
    kinds = {column.id: column.kind for column in SHEET[sheet].own_columns}
    names = [*first, *(id for id in kinds if id not in first), *last, *PLACE]
    found = list(rows)
    return pd.DataFrame({name: _column([row.get(name) for row in found], kinds.get(name, OTHER.get(name))) for name in names})


def _column(values: list[Any], kind: Kind | None) -> "pd.Series[Any]":
    if kind is Kind.DATE:
        return pd.to_datetime(pd.Series(values, dtype="object"))
    if kind is Kind.WHOLE:
        return pd.Series(values, dtype="Int64")
    return pd.Series(values, dtype="Float64") if kind is Kind.NUMBER else pd.Series(values, dtype="object")


def _plain(names: Sequence[str], rows: Iterable[Row]) -> pd.DataFrame:
    return pd.DataFrame([dict(row) for row in rows], columns=[*names, *(PLACE if names is OF_A_PROBLEM else ())])


def _ewe(season: Season, ewe: Ewe, result: Result | None) -> Row:
    row: Row = {**_cells(ewe.record, "ewes"), "ewe": ewe.name, "age": age_in_years(season, ewe)}
    if result is None:
        return row
    decision, score = result.decisions.get(ewe.key), result.mothering.get(ewe.key)
    litter, against = result.rearing.litters.get(ewe.key), result.rearing.against(ewe.key)
    return row | {
        "decision": decision.verdict.label if decision else None, "reasons": decision.words if decision else None,
        "mothering": score.score if score else None, "litter_kg": litter.kg if litter else None,
        "litter_above": against.deviation if against else None,
    }


def _lamb(lamb: Lamb) -> Row:
    """A lamb with a row of its own has its cells; one known by a count of its ewe has what that says."""
    known: Row = {"born": lamb.born.label, "reared_by": lamb.reared_by.label, "lamb_no": lamb.number}
    cells = _cells(lamb.record, "lambs") if lamb.named else {"ewe": lamb.record.text("ewe"), **_place(lamb.record)}
    return {**cells, **known, "lamb": lamb.name}


def _problem(one: Problem) -> Row:
    place = one.found.place
    return {"rule": one.rule.id, "severity": one.rule.severity.value, "cell": place.cell, "value": one.found.value,
            "message": one.found.text, SHEET_COLUMN: place.sheet, ROW_COLUMN: place.row or None}


def _cells(record: Record | None, sheet: str) -> Row:
    if record is None:
        return {}
    return {column.id: _plain_value(record[column.id]) for column in SHEET[sheet].own_columns} | _place(record)


def _place(record: Record) -> Row:
    return {SHEET_COLUMN: record.tab, ROW_COLUMN: record.row}


def _plain_value(value: Value) -> object:
    """Words for choices; a day as it is, a time of day as text."""
    if isinstance(value, Choice):
        return value.label
    if isinstance(value, time):
        return value.isoformat(timespec="minutes")
    return value
