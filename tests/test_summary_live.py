"""Live numbers of the summary workbook: sums over its own rows that a spreadsheet program works out as Python did."""

import re
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from fake_result import busy_result, empty_result, result
from few_rows import of_few_ewes
from office import recalculated
from openpyxl import load_workbook
from seasons import season

from demo_workbooks import simulation
from template_builder.build import Plan, build
from template_builder.layout.choices import Born
from template_builder.layout.summary_tabs import LITTER_ACCOUNT, MEETING, RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS
from workbook.output.summary.book import write_summary
from workbook.output.summary.flags import class_value, flags_of, line_name
from workbook.output.summary.phrases import label
from workbook.output.summary.places import places_of
from workbook.reading.season_file import read
from workbook.results.litters.account import litter_account
from workbook.results.litters.lines import ALL, COUNT, LINE
from workbook.results.pipeline import Result, analyse

DEMOS = Path(__file__).parent.parent / "demo_workbooks"
LIVE = (MEETING, LITTER_ACCOUNT, RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS)
WRONG = 987_654
FEW = 40  # ewes, of whom some lost lambs, left or were never scanned


def written(of: Result, folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / "summary.xlsx"
    write_summary(of, path)
    return path


def stored(path: Path) -> dict[str, dict[str, object]]:
    """The value that stands in the file in each cell with a formula, by tab."""
    formulas, values = load_workbook(path), load_workbook(path, data_only=True)
    return {
        tab: {cell.coordinate: values[tab][cell.coordinate].value
              for row in formulas[tab].iter_rows() for cell in row if cell.data_type == "f"}
        for tab in LIVE
    }


def with_wrong_value(path: Path, target: Path, tab: str) -> str:
    """A copy in which the first formula cell of a tab holds a wrong value; gives that cell."""
    book = load_workbook(path)
    part = f"xl/worksheets/sheet{book.sheetnames.index(tab) + 1}.xml"
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as copy:
        for name in source.namelist():
            content = source.read(name)
            if name == part:
                text = content.decode("utf-8")
                found = re.search(r'<c r="([A-Z]+\d+)"[^>]*><f>[^<]*</f><v>', text)
                assert found
                content = re.sub(r"(</f><v>)[^<]*", rf"\g<1>{WRONG}", text, count=1).encode("utf-8")
            copy.writestr(name, content)
    assert found
    return found[1]


@pytest.mark.long
@pytest.mark.parametrize("name", ["season-clean.xlsx", "season-messy.xlsx", "hill-season.xlsx"])
def test_an_office_works_out_what_python_wrote_of_a_whole_flock(name: str, tmp_path: Path) -> None:
    _worked_out(written(analyse(read(DEMOS / name)), tmp_path), tmp_path)


def test_an_office_works_out_what_python_wrote(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Few", of_few_ewes(simulation.messy_season(), FEW)))
    _worked_out(written(analyse(read(tmp_path / "season.xlsx")), tmp_path), tmp_path)


def _worked_out(path: Path, tmp_path: Path) -> None:
    expected = stored(path)
    cell = with_wrong_value(path, tmp_path / "wrong.xlsx", LITTER_ACCOUNT)
    assert WRONG == load_workbook(tmp_path / "wrong.xlsx", data_only=True)[LITTER_ACCOUNT][cell].value
    found = recalculated(tmp_path / "wrong.xlsx", tmp_path, LIVE)
    assert expected[MEETING] and expected[LITTER_ACCOUNT] and expected[RECORDS_EWES]
    for tab, cells in expected.items():  # a file keeps sixteen digits
        numbers = {cell for cell, value in cells.items() if isinstance(value, int | float)}
        assert pytest.approx({cell: cells[cell] for cell in numbers}, rel=1e-12, abs=0) == {
            cell: found[tab].get(cell) for cell in numbers}, tab
        words = cells.keys() - numbers
        assert {cell: cells[cell] or "" for cell in words} == {cell: found[tab].get(cell) or "" for cell in words}, tab


def test_every_line_of_the_account_that_counts_anything_is_live(tmp_path: Path) -> None:
    busy = busy_result()
    sheet = load_workbook(written(busy, tmp_path))[LITTER_ACCOUNT]
    rows = {str(row[1].value): row for row in sheet.iter_rows(max_row=40) if row[1].value}
    for line, numbers in busy.account.lines.items():
        cell = rows[LINE[line].definition][2]
        assert (numbers[ALL] == 0) == (cell.data_type != "f"), line


def test_each_class_is_summed_by_its_own_criterion() -> None:
    flags = flags_of(busy := busy_result(), places_of(busy.season))
    twins = busy.account.lines["born_dead"]["2"]
    assert '=SUMIFS(lambs_count_born_dead,lambs_count_class,"2")' == flags.line("born_dead", "2", twins)
    assert "" == flags.line("born_dead", "2", twins + 1), "a formula never says another number than the account"
    assert (2, "not scanned") == (class_value("2"), class_value("not scanned"))


def test_headline_counts_are_live_where_they_are_counts_of_rows() -> None:
    busy = busy_result()
    flags = flags_of(busy, places_of(busy.season))
    told = {figure.id: flags.figure(figure) for figure in busy.figures if figure.above}
    assert ("=account_scanned", "=SUM(ewes_count_ewe_scanned)") == told["scanning_pct_scanned"]
    assert ("=account_died+account_missing+account_short", "=account_born_alive") == told["loss_live_born_pct"]
    assert {id for id, (above, _) in told.items() if not above} == {
        figure.id for figure in busy.figures if figure.id in told and not figure.numerator}
    assert "" == told["ewes_lambed_pct"][1], "ewes to the ram are written on Groups, not counted"


def test_the_value_of_a_headline_figure_is_worked_out_from_its_counts(tmp_path: Path) -> None:
    path = written(busy := busy_result(), tmp_path)
    formulas, values = (load_workbook(path, data_only=data)[MEETING] for data in (False, True))
    told = 0
    for figure in busy.figures:
        row = next((row for row in values.iter_rows() if row[0].value == label(figure)), None)
        if row is None or figure.value is None or figure.few or not figure.numerator:
            continue
        at, hundred = row[0].row, "100*" if figure.unit == "%" else ""
        assert f"={hundred}E{at}/F{at}" == formulas.cell(at, 4).value
        assert (pytest.approx(figure.value), pytest.approx(figure.numerator), pytest.approx(figure.denominator)) == (
            row[3].value, row[4].value, row[5].value)
        told += 1
    assert told > 8


def test_a_figure_that_counts_more_than_the_rows_shown_stays_a_value() -> None:
    busy = busy_result()
    figure = next(figure for figure in busy.figures if figure.id == "empty_pct")
    flags = flags_of(busy, places_of(busy.season))
    assert ("", "") == flags.figure(replace(figure, numerator=(figure.numerator or 0) + 1, denominator=1))


def test_a_season_without_anything_sums_nothing(tmp_path: Path) -> None:
    found = stored(written(empty_result(), tmp_path))
    assert not any(found[tab] for tab in LIVE)


def test_places_of_the_account_say_how_many_each_row_counts() -> None:
    """By hand: a ewe scanned 3 with one lamb born alive counts 3 at her scan, and 2 fewer born than scanned."""
    of = season(ewes=[{"ewe": "1", "scanned": 3}], lambing=[{"ewe": "1", "born_alive": 1}])
    account = litter_account(of)
    scan, lambing = (of.rows(sheet)[0] for sheet in ("ewes", "lambing"))
    assert {(scan.tab, scan.row): 3} == dict(account.places["scanned"])
    assert {(scan.tab, scan.row): 2} == dict(account.places["fewer"])
    assert {(lambing.tab, lambing.row): 1} == dict(account.places["born_alive"])
    assert {"3"} == set(account.class_at.values())
    for line, rows in account.places.items():
        assert account.lines[line][ALL] - account.lines[line][COUNT] == sum(rows.values()), line


def test_lambs_called_dead_are_named_in_the_workbook(tmp_path: Path) -> None:
    of = season(ewes=[{"ewe": "1", "scanned": 1}], lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.DEAD_FRESH}])
    names = load_workbook(written(result(of), tmp_path)).defined_names
    assert {line_name("born_dead"), "lambs_count_born_dead", "lambs_count_class"} <= set(names)
