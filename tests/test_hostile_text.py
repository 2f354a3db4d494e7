"""Text that looks like a formula stays text, whichever cell of whichever sheet it is typed in, all the way through."""

import csv
import io
import re
from pathlib import Path

import pytest
from validity.lint import lint
from validity.parts import Broken, Package

from template_builder.build import Plan, build
from template_builder.layout.columns import OWN, Kind, Row
from template_builder.layout.sheets import SHEETS
from template_builder.layout.summary_tabs import EWE_DECISIONS, FLOCK_PLAN, HIDDEN_LIVE, MARKS, MEETING, POLICY, REPLACEMENTS
from template_builder.layout.whole import LIVE_TABS
from workbook.output import report
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import read
from workbook.results.pipeline import Checked, analyse, check
from workbook.season.season import Season

HOSTILE = ("=1+1", "@SUM(A1)", "+1", "-1", "\t=1", '=HYPERLINK("http://farm.invalid","x")', "{=1}", "http://farm.invalid")
STARTS = ("=", "+", "-", "@", "\t", "\r")
ENTRY = [sheet for sheet in SHEETS if not sheet.fixed_rows]
TYPED_IN = (Kind.IDENTIFIER, Kind.TEXT, Kind.CHOICE, Kind.WHOLE, Kind.NUMBER, Kind.DATE, Kind.MOMENT)


def hostile_rows() -> dict[str, list[Row]]:
    """A row for each hostile text on each sheet, the text in every column, list, number and date columns among them.

    Every text is told apart by its column, so that it can be looked for afterwards.
    """
    rows: dict[str, list[Row]] = {}
    for sheet in ENTRY:
        columns = [column for column in sheet.own_columns if column.kind in TYPED_IN]
        rows[sheet.id] = [
            {**{column.id: f"{text} {sheet.address(column)}" for column in columns}, f"{OWN}=1+1": text} for text in HOSTILE
        ]
    rows["season"] = [{"row_key": "flock", "value": HOSTILE[0]}]
    return rows


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("hostile") / "=season.xlsx"
    build(made, Plan("=1+1", hostile_rows()))
    return made


@pytest.fixture(scope="module")
def checked(path: Path) -> Checked:
    return check(read(path))


def texts(path: Path) -> set[str]:
    return set(Package.open(path).strings)


def formulas_and_links(path: Path) -> list[str]:
    """Cells that hold a formula, and links that lead out of the workbook."""
    found = [f"{one.place}: {one.what}" for one in lint(path) if one.rule is Broken.FORMULA_WHERE_NONE_BELONGS]
    outside = [one.target for sheet in Package.open(path).sheets for one in sheet.relations.values() if one.outside]
    return found + outside


def test_every_column_of_every_entry_sheet_keeps_it_as_text(path: Path) -> None:
    typed = {str(value) for rows in hostile_rows().values() for row in rows for key, value in row.items() if key != "row_key"}
    assert len(HOSTILE) * sum(column.kind in TYPED_IN for sheet in ENTRY for column in sheet.own_columns) < len(typed)
    assert set() == typed - texts(path)
    live = tuple(f"{tab}!" for tab in LIVE_TABS)
    assert [] == [found for found in formulas_and_links(path) if not found.startswith(live)]
    assert [] == lint(path, frozenset(LIVE_TABS))


def test_what_is_read_back_is_what_was_typed(path: Path) -> None:
    season: Season = read(path).season
    kept = {str(record[column.id]) for sheet in ENTRY for record in season.rows(sheet.id)
            for column in sheet.own_columns if column.kind is Kind.TEXT and record[column.id]}
    typed = {f"{text.strip()} {sheet.address(column)}" for text in HOSTILE for sheet in ENTRY
             for column in sheet.own_columns if column.kind is Kind.TEXT}
    assert typed == {text.strip() for text in kept}


# Tabs of the summary that follow what is decided in it: formulas are their nature.
MOVING = (MEETING, EWE_DECISIONS, MARKS, FLOCK_PLAN, REPLACEMENTS, POLICY, HIDDEN_LIVE)
# The summary's own sums: over named columns and lines, by a class of the account, and the cell of an entry for a count.
_TERM = r"""(account_[a-z_]+|[A-Z]+\d+|SUM\([a-z_]+\)|SUMIFS\([a-z_]+,[a-z_]+,"(\d+|not scanned|bought in)"\))"""
OWN_SUM = re.compile(rf"{_TERM}([+-]{_TERM})*")


def test_the_summary_keeps_it_as_text(path: Path, tmp_path: Path) -> None:
    target = tmp_path / "summary.xlsx"
    write_summary(analyse(read(path)), target)
    moving = tuple(f"{tab}!" for tab in MOVING)
    assert [] == [found for found in formulas_and_links(target)
                  if not found.startswith(moving) and not OWN_SUM.fullmatch(found.partition(": ")[2])]
    assert [] == lint(target, {found.partition("!")[0] for found in formulas_and_links(target)})
    assert {f"{text} lambs.notes" for text in HOSTILE if text == text.strip()} <= texts(target)


def test_csv_sets_an_apostrophe_before_it(checked: Checked) -> None:
    cells = [cell for row in csv.reader(io.StringIO(report.as_csv(checked))) for cell in row]
    assert [] == [cell for cell in cells if cell.startswith(STARTS)]
    assert {f"'{text}" for text in HOSTILE if text[0] in STARTS[:-2]} <= {cell.rsplit(" ", 1)[0] for cell in cells}
