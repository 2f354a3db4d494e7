"""Damage at random: never a traceback, and no cell of an entry sheet is dropped without a word."""

import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree

import pytest
from damage import flock
from damage.mutations import Damage, damages, put, restored, written
from examples import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.layout.addresses import letters
from template_builder.layout.columns import NOT_KNOWN, OWN
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import HEADING_ROW, PROGRAM_TABS
from workbook.output import problem_text, report
from workbook.reading.anchors import Anchored, anchor
from workbook.reading.parsed import in_words
from workbook.reading.rows import as_written
from workbook.reading.season_file import Reading, read_cells
from workbook.results.pipeline import Checked, analyse
from workbook.season.cells import Record

pytestmark = pytest.mark.usefixtures("few_spare_rows")

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATED = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
TITLES = {sheet.title for sheet in SHEETS}
AS_OF = datetime(2026, 7, 1, 12)
FEW, MANY = 25, 10_000
quick = settings(max_examples=examples(FEW), deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
thorough = settings(max_examples=MANY, deadline=None, suppress_health_check=list(HealthCheck))
ISSUED = {sheet.id: {sheet.title, sheet.purpose, *(text for column in sheet for text in (column.title, sheet.address(column)))}
          for sheet in SHEETS}
RECORD_LIKE = 3  # cells filled in a row above the headings
KNOWN_BY_WORDS = {sheet.id for sheet in SHEETS if sheet.fixed_rows}  # a spoilt hidden key loses nothing there
PROGRAM_COLUMNS = {"default"}  # written by the build and read by nobody


@cache
def whole() -> bytes:
    with TemporaryDirectory() as folder:
        return flock.write(Path(folder) / "season.xlsx").read_bytes()


@cache
def cells() -> Cells:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "season.xlsx"
        path.write_bytes(whole())
        return open_cells(path)


def everything(reading: Reading) -> None:
    """All that the commands make of a reading; each must bear whatever was read."""
    result = analyse(reading)
    checked = Checked(result.season, result.problems, result.skipped)
    for text in (problem_text.text(checked), report.as_csv(checked), report.as_json(checked), report.result_json(result),
                 report.headline(result)):
        text.encode("utf-8")
    assert [] == [str(problem) for problem in checked.problems if problem.rule.slug == "check-failed"]


def dropped(damaged: Cells, reading: Reading) -> Iterator[str]:
    """Cells that are neither in the records as written, nor on a sheet kept as the person's own, nor named by a problem."""
    season = reading.season
    named = {problem.place[1:] for problem in reading.problems} | {
        place[1:] for problem in reading.problems for place in problem.found.also}
    left_out = {problem.place[1:3] for problem in reading.problems if problem.rule.slug in ("totals-row", "unknown-setting")}
    records = {(row.tab, row.row): row for rows in season.records.values() for row in rows}
    anchored, _ = anchor(damaged)
    read_tabs = {found.tab: found for found in anchored.values()}
    yield from (f"the sheet {tab}" for tab in damaged.tabs if tab not in {*read_tabs, *PROGRAM_TABS, *season.own_sheets})
    for tab, found in read_tabs.items():
        columns = {number: id for id, number in found.places.items()}
        for number, row in damaged.tabs[tab]:
            for cell in row:
                id = columns.get(cell.column)
                key = id or f"{OWN}{found.own.get(cell.column) or f'column {letters(cell.column)}'}"
                kept = _head(found, number, row) or (tab, number) in left_out or (tab, number, cell.column) in named
                if not (kept or _blank(cell) or id in PROGRAM_COLUMNS or _holds(records.get((tab, number)), key, cell.value)):
                    yield f"{tab} row {number} column {cell.column} ({id}): {str(cell.value)[:40]!r}"


def _head(found: Anchored, number: int, row: Sequence[Cell]) -> bool:
    """Whether a row is what the build wrote above the records, wherever it went, or a word or two somebody put there."""
    ours = [cell for cell in row if cell.column in found.places.values() and not _blank(cell)]
    written = [cell for cell in ours if cell.value not in ISSUED[found.sheet.id]]
    few = len(written) < RECORD_LIKE if number < found.heading_row else len(ours) > 1 and not written
    return number == found.heading_row or few


def _blank(cell: Cell) -> bool:
    return cell.value is None or not str(cell.value).strip()


def _holds(record: Record | None, key: str, value: object) -> bool:
    """Whether a record has what stands in the cell; a row with nothing but its hidden key is none."""
    if record is None:
        return key == "row_key"
    if key == "row_key" and record.sheet_id in KNOWN_BY_WORDS:
        return True
    held = record.values.get(key)
    if held is NOT_KNOWN:
        return str(value).strip() == NOT_KNOWN.value
    if key.startswith(OWN) or isinstance(held, str):
        return str(held).strip() in (str(as_written(value)).strip(), in_words(value).strip())
    if isinstance(held, int | float) and isinstance(value, int | float):
        return held == value
    return held is not None


def bears(harm: list[Damage]) -> None:
    damaged = cells()
    for one in harm:
        damaged = one(damaged)
    try:
        reading = read_cells(damaged, AS_OF)
    except Unreadable as refused:
        assert str(refused).startswith("season.xlsx ")
        return
    assert [] == list(dropped(damaged, reading))
    everything(reading)


def bears_bytes(data: bytes) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "season.xlsx"
        path.write_bytes(data)
        try:
            opened = open_cells(path)
            reading = read_cells(opened, AS_OF)
        except Unreadable as refused:
            assert str(refused).startswith("season.xlsx ")
            return
    filled = {tab: sum(cell.value is not None or bool(cell.formula) for _, row in lines for cell in row)
              for tab, lines in opened.tabs.items() if tab in TITLES}
    assert filled.items() <= cells_stored(data).items()
    assert [] == list(dropped(opened, reading))
    everything(reading)


def cells_stored(data: bytes) -> dict[str, int]:
    """How many cells of each sheet hold anything, counted in its XML by the standard library."""
    with zipfile.ZipFile(io.BytesIO(data)) as stored:
        book, links = (ElementTree.fromstring(stored.read(part)) for part in ("xl/workbook.xml", "xl/_rels/workbook.xml.rels"))
        parts = {link.get("Id"): f"xl/{link.get('Target')}" for link in links}
        sheets = {sheet.get("name", ""): ElementTree.fromstring(stored.read(parts[sheet.get(f"{RELATED}id")]))
                  for sheet in book.iter(f"{MAIN}sheet")}
    return {tab: sum(map(_stored, sheet.iter(f"{MAIN}c"))) for tab, sheet in sheets.items()}


def _stored(cell: ElementTree.Element) -> bool:
    return bool((cell.findtext(f"{MAIN}v") or "").strip() or cell.findtext(f"{MAIN}f") or cell.find(f"{MAIN}is") is not None)


def test_the_sound_season_drops_nothing() -> None:
    bears([])


def test_a_cell_that_is_dropped_is_seen_even_in_a_row_with_problems() -> None:
    lambs = dict(cells().tabs)["Lambs"]
    number, row = next(line for line in lambs if line[0] > HEADING_ROW)
    damaged = put(("Lambs", number, row[-1].column), Cell(1, "#REF!", "", True))(cells())
    reading = read_cells(damaged, AS_OF)
    assert (number, row[-1].column) in {problem.place[2:] for problem in reading.problems}
    records = [replace(one, values={id: value for id, value in one.values.items() if id != "sex"}) if one.row == number else one
               for one in reading.season.rows("lambs")]
    lossy = replace(reading.season, records={**reading.season.records, "lambs": tuple(records)})
    assert ["'ram'"] == [words[-5:] for words in dropped(damaged, replace(reading, season=lossy))]


@quick
@given(st.lists(damages, min_size=1, max_size=6))
def test_damage_to_cells(harm: list[Damage]) -> None:
    bears(harm)


@quick
@given(st.integers(0, 99), st.lists(st.tuples(st.integers(0, 9_999), written), min_size=1, max_size=4))
def test_damage_to_what_is_stored(part: int, changes: list[tuple[int, str]]) -> None:
    bears_bytes(restored(whole(), part, changes))


@quick
@given(st.deferred(lambda: st.lists(st.tuples(st.integers(0, len(whole()) - 1), st.integers(1, 255)), min_size=1, max_size=4)))
def test_damage_to_bytes(flips: list[tuple[int, int]]) -> None:
    data = bytearray(whole())
    for at, mask in flips:
        data[at] ^= mask
    bears_bytes(bytes(data))


@pytest.mark.slow
@thorough
@given(st.lists(damages, min_size=1, max_size=6))
def test_ten_thousand_damages_to_cells(harm: list[Damage]) -> None:
    bears(harm)


@pytest.mark.slow
@settings(thorough, max_examples=MANY // 5)
@given(st.integers(0, 99), st.lists(st.tuples(st.integers(0, 9_999), written), min_size=1, max_size=4))
def test_two_thousand_damages_to_what_is_stored(part: int, changes: list[tuple[int, str]]) -> None:
    bears_bytes(restored(whole(), part, changes))


def test_every_part_survives_being_stored_anew() -> None:
    assert zipfile.ZipFile(io.BytesIO(restored(whole(), 0, []))).testzip() is None
