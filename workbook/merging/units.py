"""Copies that do not read bare weights in the same unit: each weight then says its own, so that none changes its meaning."""

from collections.abc import Sequence
from dataclasses import replace

from template_builder.layout.choices import WeightUnit
from template_builder.layout.whole import SHEET
from workbook.season.cells import Record
from workbook.season.season import Season
from workbook.season.weights import bare_weight

SCALES = {id: found for id, sheet in SHEET.items() if (found := tuple(column.id for column in sheet if column.scale))}


def with_units(copies: Sequence[Season], base: Season | None) -> tuple[Sequence[Season], Season | None]:
    """The copies and their base as they are where they agree on the unit; else with the unit written beside each weight."""
    if len({_unit(season) for season in (*copies, *([base] if base else []))}) == 1:
        return copies, base
    return [_said(season) for season in copies], _said(base) if base else None


def _unit(season: Season) -> WeightUnit:
    return season.settings.choice("weights_in", WeightUnit)


def _said(season: Season) -> Season:
    unit = _unit(season)
    said = {id: tuple(_row(row, columns, unit) for row in season.rows(id)) for id, columns in SCALES.items()}
    return replace(season, records={**season.records, **said})


def _row(row: Record, columns: Sequence[str], unit: WeightUnit) -> Record:
    found = {id: f"{row.written(id)} {unit.label}" for id in columns if bare_weight(row, id) is not None}
    return replace(row, raw={**row.raw, **found}) if found else row
