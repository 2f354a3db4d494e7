"""Damage at random: never a traceback, and no cell of an entry sheet is dropped without a word."""

import io
import zipfile
from collections.abc import Iterator
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from damage import flock
from damage.mutations import Damage, damages, restored, written
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from template_builder.addresses import letters
from template_builder.columns import OWN
from workbook import report
from workbook.anchors import anchor
from workbook.guard import Unreadable
from workbook.opening import Cells, open_cells
from workbook.pipeline import Checked, analyse
from workbook.reading import Reading, read, read_cells

AS_OF = datetime(2026, 7, 1, 12)
FEW, MANY = 60, 10_000
quick = settings(max_examples=FEW, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
thorough = settings(max_examples=MANY, deadline=None, suppress_health_check=list(HealthCheck))
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
    for text in (report.text(checked), report.as_csv(checked), report.as_json(checked), report.result_json(result),
                 report.headline(result)):
        text.encode("utf-8")
    assert [] == [str(problem) for problem in checked.problems if problem.rule.slug == "check-failed"]


def dropped(damaged: Cells, reading: Reading) -> Iterator[str]:
    """Cells below the headings of a sheet that is read, of which no record, no column of one's own and no problem tells."""
    told = {(problem.place.sheet, problem.place.row) for problem in reading.problems}
    records = {(row.tab, row.row): row for rows in reading.season.records.values() for row in rows}
    anchored, _ = anchor(damaged)
    for found in anchored.values():
        columns = {number: id for id, number in found.places.items()}
        for number, row in damaged.tabs[found.tab]:
            record = records.get((found.tab, number))
            for cell in row:
                id = columns.get(cell.column)
                if number <= found.heading_row or cell.value is None or not str(cell.value).strip() or id in PROGRAM_COLUMNS:
                    continue
                if (found.tab, number) in told or (record is None and id == "row_key"):
                    continue
                own = f"{OWN}{found.own.get(cell.column) or f'column {letters(cell.column)}'}"
                if record is None or (id or own) not in record.values:
                    yield f"{found.tab} row {number} column {cell.column} ({id}): {str(cell.value)[:40]!r}"


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
            reading = read(path, AS_OF)
        except Unreadable as refused:
            assert str(refused).startswith("season.xlsx ")
            return
    everything(reading)


def test_the_sound_season_drops_nothing() -> None:
    bears([])


@quick
@given(st.lists(damages, min_size=1, max_size=6))
def test_damage_to_cells(harm: list[Damage]) -> None:
    bears(harm)


@quick
@given(st.integers(0, 99), st.lists(st.tuples(st.integers(0, 9_999), written), min_size=1, max_size=4))
def test_damage_to_what_is_stored(part: int, changes: list[tuple[int, str]]) -> None:
    bears_bytes(restored(whole(), part, changes))


@quick
@given(st.lists(st.tuples(st.integers(0, len(whole()) - 1), st.integers(1, 255)), min_size=1, max_size=4))
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
