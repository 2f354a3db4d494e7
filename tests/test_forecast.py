"""The lambing forecast of a season: the build and the season alike, the page and its live cells."""

from collections import Counter
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import office
import pytest
from fake_result import result
from openpyxl import load_workbook
from seasons import season

from template_builder.build import Plan, build
from template_builder.files.tab import Tab
from template_builder.files.writer import new_book
from template_builder.forecast.lambing_days import ExpectedEwe, Spread
from template_builder.forecast.page import NO_PENS, PERHAPS, WIDTHS, YES, Limits, write_days_to_come
from template_builder.forecast.per_day import Day, forecast
from template_builder.forecast.rows import forecast_from
from template_builder.layout.choices import Born, EweLeft
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import PROGRESS_TAB
from workbook.output.summary.charts import beside_forecast
from workbook.reading.season_file import read
from workbook.results.litters.spread import forecast_of, forecast_to_come

pytestmark = pytest.mark.usefixtures("few_spare_rows")

SPREAD = Spread(147, 2, 17, 0.7, (1, 2, 3))
EXACT = replace(SPREAD, spread=0)  # every gestation alike
MATED, DUE = date(2025, 10, 20), date(2026, 3, 16)


# The season and its workbook


def _rows() -> dict[str, list[Row]]:
    ewes: list[Row] = [
        {"ewe": str(1000 + number), "scanned": number % 4, "due": DUE + timedelta(days=number % 9), "group": "All"}
        for number in range(40)
    ]
    ewes += [{"ewe": "2001", "scanned": 2, "group": "Hill "}, {"ewe": "2002", "scanned": 2, "due": DUE, "left_how": EweLeft.DIED}]
    laid = lay_ready(ewes)
    lambed: Row = {"lambed_on": DUE - timedelta(days=1), "born_alive": 1}
    laid["lambing"] = [{**row, **(lambed if row["ewe"] in ("1001", "1002") else {})} for row in laid["lambing"]]
    return {
        "season": [{"row_key": "year", "value": 2026}, {"row_key": "pens", "value": 4}],
        "groups": [{"group": "hill", "ram_in": MATED, "ram_out": MATED + timedelta(days=20)}], **laid,
    }


def test_the_build_and_the_season_forecast_alike() -> None:
    rows = _rows()
    from_rows, from_season = forecast_from(rows), forecast_of(season(**rows))  # type: ignore[arg-type]  # sheet ids
    assert from_rows.days == from_season.days
    assert (41 - 10, 10) == (from_season.ewes, from_season.left_out.empty)
    assert 2 == sum(day.lambed or 0 for day in from_season.days)
    assert "You have 4: " in " ".join(from_season.words)


def test_the_season_looks_ahead_from_its_moment() -> None:
    rows = {**_rows(), "lambs": [{"ewe": "1003", "lamb_no": 1, "born": Born.ALIVE}]}
    of = season(as_of=datetime(2026, 3, 18, 12, 0), **rows)  # type: ignore[arg-type]  # sheet ids
    made = forecast_to_come(of)
    # Of 31 ewes two lambed on a day written, and one on a day that nobody wrote down.
    assert pytest.approx(28) == made.expected
    assert made.peak is not None and made.peak.date >= date(2026, 3, 18)


def test_the_page_counts_what_is_typed_and_else_recalculates_to_what_was_written(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", _rows()))
    book = load_workbook(tmp_path / "season.xlsx", read_only=True)
    typed = next(row[0].row for row in book["Lambing"].iter_rows(min_row=4) if row[0].value == "1005")
    before = _tab(tmp_path / "season.xlsx")
    day = (DUE - timedelta(days=1) - date(1899, 12, 30)).days + 0.125  # with a time of day, as some people write it
    office.changed(tmp_path / "season.xlsx", tmp_path / "typed.xlsx", [["set", "Lambing", f"D{typed}", day]])
    after = _tab(tmp_path / "typed.xlsx")
    assert [(2, 3)] == [(old[7], new[7]) for old, new in zip(before, after, strict=True) if old != new]


@pytest.mark.long
def test_the_page_knows_the_pens_written_later(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", {**_rows(), "season": []}))
    assert (NO_PENS, NO_PENS) == _pens(tmp_path / "season.xlsx")
    book = load_workbook(tmp_path / "season.xlsx")
    pens, people = (book.defined_names[f"set_{id}"].attr_text.partition("!")[2].replace("$", "") for id in ("pens", "two_people"))
    office.changed(tmp_path / "season.xlsx", tmp_path / "pens.xlsx", [["set", "Season", pens, 6], ["set", "Season", people, 3]])
    short = sum(day.pens_high > 6 for day in forecast_from(_rows()).days)
    assert 0 < short
    assert (6, short) == _pens(tmp_path / "pens.xlsx")
    nights = Counter(Limits(6, 3).people(day) for day in forecast_from(_rows()).days)
    assert min(nights[YES], nights[PERHAPS]) > 0
    assert (nights[YES], nights[PERHAPS]) == _nights(tmp_path / "pens.xlsx")
    assert (0, 0) == _nights(tmp_path / "season.xlsx")


def _nights(path: Path) -> tuple[object, object]:
    """Nights for two people, and those that may be; each is told beside its day too."""
    rows = _tab(path)
    said = Counter(row[8] for row in rows)
    lines = {str(row[0]): row[4] for row in rows}
    likely, more = (next(lines[words] for words in lines if words.startswith(start)) for start in ("Nights", "and perhaps"))
    assert (said[YES], said[PERHAPS]) == (likely, more)
    return likely, more


@pytest.mark.parametrize(("expected", "high", "people"), [
    (9.99, 9, ""), (9.994, 10, PERHAPS), (9.996, 10, YES), (10, 12, YES), (10.01, 14, YES), (8, 11, PERHAPS), (0, 0, ""),
])
def test_a_night_is_for_two_people_from_the_limit_on(expected: float, high: int, people: str) -> None:
    assert people == Limits(None, 10).people(Day(DUE, expected, 0, high, 0, 0, 0))


def test_a_flock_known_by_its_tally_is_forecast_from_its_counts() -> None:
    ram_out = MATED + timedelta(days=40)
    group: Row = {"group": "High", "ram_in": MATED, "ram_out": ram_out, "tally_0": 2, "tally_1": 9, "tally_2": 5}
    ram = ExpectedEwe(ram_in=MATED, ram_out=ram_out)
    ewes = [replace(ram, scanned=scanned) for scanned, number in ((0, 2), (1, 9), (2, 5)) for _ in range(number)]
    assert forecast(ewes, SPREAD) == forecast_from({"groups": [group]})
    listed: Row = {"ewe": "A", "scanned": 1, "due": DUE}
    assert 1 == forecast_from({"groups": [group], "ewes": [listed]}).ewes
    assert () == forecast_from({"groups": [{**group, "ram_in": None}]}).days


def _pens(path: Path) -> tuple[object, object]:
    """Pens there are, and days on which more may be needed."""
    cells = {row[0]: row[4] for row in _tab(path)}
    return cells["Pens you have"], cells["Days on which more may be needed"]


def _tab(path: Path) -> list[tuple[object, ...]]:
    sheet = load_workbook(path, data_only=True, read_only=True)[PROGRESS_TAB]
    rows = list(sheet.iter_rows(max_col=9, values_only=True))
    coming = next((number for number, row in enumerate(rows) if str(row[0]).startswith("What is coming")), 0)
    return rows[coming:]


def test_the_summary_draws_lambings_beside_the_forecast() -> None:
    rows = _rows()
    rows["lambing"][-1] = {**rows["lambing"][-1], "lambed_on": date(2026, 12, 1)}
    of = season(as_of=datetime(2026, 3, 20, 12, 0), **rows)  # type: ignore[arg-type]  # sheet ids
    made = forecast_of(of)
    days, outside = beside_forecast(replace(result(of), forecast=made))
    assert (2, 1) == (sum(lambed or 0 for _, lambed, _ in days), outside)
    assert pytest.approx(made.expected, abs=0.5) == sum(expected or 0 for _, _, expected in days)
    assert all((lambed is None) == (day > date(2026, 3, 20)) for day, lambed, _ in days)
    ends = days[0][0].toordinal(), days[-1][0].toordinal() + 1
    assert list(range(*ends)) == [day.toordinal() for day, _, _ in days]


@pytest.mark.parametrize(("words", "rows", "beside"), [(5, 13, True), (6, 12, True), (9, 8, True), (10, 13, False)])
def test_the_chart_stays_on_the_page_of_its_words_where_it_can_be_lower(
    words: int, rows: int, beside: bool, tmp_path: Path,
) -> None:
    made = forecast_from(_rows())
    with new_book(tmp_path / "days.xlsx", title="Days") as book:
        tab = Tab(book, "Days", WIDTHS, "")
        write_days_to_come(book, tab, replace(made, words=("So many.",) * words), {}, Limits(4, 3))
    page = load_workbook(tmp_path / "days.xlsx")["Days"]
    drawn = page._charts[0].anchor
    assert (rows, beside) == (drawn.to.row - drawn._from.row + 1, page.row_breaks.brk[0].id > drawn._from.row)
    assert "Day" == page.cell(drawn._from.row + rows + 1, 1).value


def test_the_reader_takes_the_page_for_the_programs_own(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", _rows()))
    found = read(tmp_path / "season.xlsx")
    assert ((), ()) == (found.season.own_sheets, found.problems)


def test_without_any_date_progress_shows_what_has_come_alone(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Forecast", lay_ready([{"ewe": "1", "scanned": 2}])))
    said = {row[0] for row in _tab(tmp_path / "season.xlsx")}
    assert (True, False) == ("Ewes scanned in lamb" in said, "Pens you have" in said)
