"""Cells as stored, read by us and by openpyxl: the same values, whoever wrote the file."""

import zipfile
from datetime import date, datetime, time
from pathlib import Path

import pytest
from examples import examples
from few_rows import of_few_ewes
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from office import changed
from openpyxl import Workbook, load_workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900

from demo_workbooks import simulation
from template_builder.build import Plan, build
from template_builder.files.opening import open_cells
from template_builder.files.stored import (
    EPOCH,
    EPOCH_1904,
    Shows,
    lines,
    moment,
    shared_strings,
    shown_by,
    styles_of,
    written_moment,
)

DEMOS = Path(__file__).parent.parent / "demo_workbooks"
SHEET = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'


def _ours(path: Path) -> dict[tuple[str, int, int], object]:
    return {
        (tab, row, cell.column): cell.value
        for tab, found in open_cells(path).tabs.items() for row, cells in found for cell in cells if cell.value not in (None, "")
    }


def _theirs(path: Path) -> dict[tuple[str, int, int], object]:
    book = load_workbook(path, data_only=True)
    return {
        (sheet.title, cell.row, cell.column): f"{100 * cell.value:.10g}%" if cell.number_format == "0%" else cell.value
        for sheet in book.worksheets
        for row in sheet.iter_rows() for cell in row if cell.value is not None
    }


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(path.name for path in DEMOS.glob("*.xlsx")))
def test_every_demo_reads_as_openpyxl_reads_it(name: str) -> None:
    ours, theirs = _ours(DEMOS / name), _theirs(DEMOS / name)
    hidden = {place for place in ours if place not in theirs}  # values under merged cells, which openpyxl drops
    assert theirs == {place: value for place, value in ours.items() if place not in hidden}
    assert {tab for tab, _, _ in hidden} <= {tab for tab, ranges in open_cells(DEMOS / name).merged.items() if ranges}


@pytest.mark.long
def test_a_file_saved_by_libreoffice_reads_as_openpyxl_reads_it(tmp_path: Path) -> None:
    build(tmp_path / "few.xlsx", Plan("Few", of_few_ewes(simulation.messy_season(), 30)))
    saved = changed(tmp_path / "few.xlsx", tmp_path / "saved.xlsx", [["set", "Lambs", "F4", 4.5]])
    assert _theirs(saved) == _ours(saved)


VALUES = st.one_of(
    st.integers(-10**15, 10**15), st.floats(-1e9, 1e9), st.booleans(),
    st.text(st.characters(codec="utf-8", exclude_categories=("C",))),
    st.datetimes(datetime(1901, 1, 1), datetime(2200, 1, 1)).map(lambda m: m.replace(microsecond=0)),
    st.dates(date(1901, 1, 1), date(2200, 1, 1)), st.times().map(lambda clock: clock.replace(microsecond=0)),
)


@settings(max_examples=examples(40), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(st.lists(st.one_of(st.none(), VALUES), max_size=5), max_size=6))
def test_whatever_openpyxl_writes_reads_as_openpyxl_reads_it(tmp_path: Path, rows: list[list[object]]) -> None:
    book = Workbook()
    for row, values in enumerate(rows, start=1):
        for column, value in enumerate(values, start=1):
            cell = book.active.cell(row, column)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"
    path = tmp_path / "any.xlsx"
    book.save(path)
    assert _theirs(path) == {place: value for place, value in _ours(path).items() if value != ""}


@pytest.mark.parametrize(("code", "date_shown"), [
    ("General", False), ("0.00", False), ("d mmm yyyy", True), ('0 "days"', False), ("[Red]0", False), ("[h]:mm", True),
    ("yyyy-mm-dd;@", True), ('"d"0', False), ("#,##0\\ d", True), ("mm:ss.0", True), ("@", False), ("0.0_m", False),
])
def test_a_number_format_shows_a_date_or_not(code: str, date_shown: bool) -> None:
    assert date_shown is (shown_by(code) is Shows.DATE)


@pytest.mark.parametrize(("code", "in_per_cent"), [
    ("0%", True), ("0.00%", True), ("#,##0 %;[Red]-#,##0 %", True), ('0" %"', False), ("0\\%", False), ("General", False),
])
def test_a_number_format_shows_per_cent_or_not(code: str, in_per_cent: bool) -> None:
    assert in_per_cent is (shown_by(code) is Shows.PER_CENT)


def test_a_number_shown_in_per_cent_is_read_as_it_is_seen() -> None:
    rows = '<row><c s="1"><v>0.12</v></c><c s="1"><v>0.07</v></c><c s="1"><v>1.25</v></c><c><v>0.12</v></c></row>'
    ((_, found),) = lines(SHEET.format(rows).encode(), [], [Shows.NUMBER, Shows.PER_CENT])
    assert ["12%", "7%", "125%", 0.12] == [cell.value for cell in found]


@pytest.mark.parametrize(("days", "value"), [
    (1, datetime(1900, 1, 1)), (59, datetime(1900, 2, 28)), (61, datetime(1900, 3, 1)), (46093, datetime(2026, 3, 12)),
    (46093.104166666664, datetime(2026, 3, 12, 2, 30)), (0.5, time(12)), (-1, -1), (826012345600012, 826012345600012),
])
def test_a_day_number_becomes_a_day_of_the_calendar(days: float, value: object) -> None:
    assert value == moment(days)


def test_rows_and_cells_without_numbers_follow_the_one_before() -> None:
    rows = '<row><c><v>1</v></c><c><v>2</v></c></row><row r="5"><c r="C5"><v>3</v></c><c><v>4</v></c></row>'
    found = lines(SHEET.format(rows).encode(), [], [])
    assert [(1, [(1, 1), (2, 2)]), (5, [(3, 3), (4, 4)])] == [(n, [(c.column, c.value) for c in row]) for n, row in found]


def test_a_formula_nobody_has_computed_has_no_value() -> None:
    rows = '<row><c><f>A2</f><v></v></c><c><f>A3</f><v/></c><c><f>A4</f></c><c t="str"><f>A5</f><v></v></c></row>'
    ((_, found),) = lines(SHEET.format(rows).encode(), [], [])
    assert [(None, "=A2"), (None, "=A3"), (None, "=A4"), ("", "=A5")] == [(cell.value, cell.formula) for cell in found]


def test_prefixes_rich_text_and_phonetic_hints() -> None:
    texts = (
        '<x:sst xmlns:x="m"><x:si><x:r><x:t>Blue</x:t></x:r><x:r><x:t xml:space="preserve"> face</x:t></x:r>'
        "<x:rPh><x:t>hint</x:t></x:rPh></x:si><x:si><x:t>a_x000D_b</x:t></x:si></x:sst>"
    )
    strings = shared_strings(texts.encode())
    assert ["Blue face", "a\rb"] == strings
    sheet = '<x:worksheet xmlns:x="m"><x:sheetData><x:row r="2"><x:c r="AB2" t="s"><x:v>0</x:v></x:c>' \
        '<x:c r="AC2" t="inlineStr"><x:is><x:t>in line</x:t></x:is></x:c></x:row></x:sheetData></x:worksheet>'
    ((number, cells),) = lines(sheet.encode(), strings, [])
    assert (2, [(28, "Blue face"), (29, "in line")]) == (number, [(cell.column, cell.value) for cell in cells])


def test_styles_tell_dates() -> None:
    styles = '<styleSheet><numFmts><numFmt numFmtId="164" formatCode="d mmm yyyy"/></numFmts>' \
        '<cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/>' \
        '<xf numFmtId="14"/><xf numFmtId="9"/></cellXfs></styleSheet>'
    assert [Shows.NUMBER, Shows.DATE, Shows.DATE, Shows.PER_CENT] == styles_of(styles.encode())


def test_values_under_merged_cells_are_not_lost(tmp_path: Path) -> None:
    source, target = DEMOS / "season-clean.xlsx", tmp_path / "merged.xlsx"
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet4.xml" or b"lambing.ewe" in data:
                data = data.replace(b"</sheetData>", b'</sheetData><mergeCells count="1"><mergeCell ref="A4:A6"/></mergeCells>')
            new.writestr(name, data)
    assert _ours(source).items() <= _ours(target).items()


@pytest.mark.parametrize(("text", "value"), [
    ("1899-12-29T21:10:00", datetime(1899, 12, 29, 21, 10)), ("1899-12-30T21:10:00.000Z", time(21, 10)),
    ("1899-12-31T21:10:00", datetime(1899, 12, 31, 21, 10)), ("1904-01-01T21:10:00", time(21, 10)),
    ("1904-01-02T00:00:00", datetime(1904, 1, 2)), ("2026-04-01T02:30:00Z", datetime(2026, 4, 1, 2, 30)), ("soon", "soon"),
    ("2026-03-26T06:14:59.499Z", datetime(2026, 3, 26, 6, 14, 59)), ("2026-03-26T06:14:59.500Z", datetime(2026, 3, 26, 6, 15)),
    ("1899-12-30T06:14:59.999Z", time(6, 15)), ("2026-03-31T23:59:59.999", datetime(2026, 4, 1)),
    ("9999-12-31T23:59:59.999", "9999-12-31T23:59:59.999"),
])
def test_a_time_written_as_one_of_day_nought_is_a_time(text: str, value: object) -> None:
    assert value == written_moment(text)


@pytest.mark.parametrize(("from_1904", "format", "expected"), [
    (False, "General", EPOCH), (True, "General", EPOCH_1904), (False, "0.0", EPOCH), (False, "d mmm yyyy", None),
    (True, "hh:mm", None),
])
def test_numbers_are_bare_days_where_no_style_shows_a_date(
    from_1904: bool, format: str, expected: datetime | None, tmp_path: Path,
) -> None:
    book = Workbook()
    book.epoch = CALENDAR_MAC_1904 if from_1904 else CALENDAR_WINDOWS_1900
    cell = book.worksheets[0].cell(1, 1, 46_113)
    cell.number_format = format
    book.save(tmp_path / "days.xlsx")
    assert expected == open_cells(tmp_path / "days.xlsx").bare_days
