"""A day book: numbered lines in order of lambing, the same on paper and screen, and how little a twin lambing takes to type."""

from collections.abc import Iterable
from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, Help, NextDay, Sex, Taken, Teats, YesNo
from template_builder.layout.columns import LINE, Row
from template_builder.layout.laying import LAMBS_A_LINE, Order, lay_ready, row_key
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.whole import HEADING_ROW
from workbook.cli import main
from workbook.reading.season_file import read
from workbook.results.litters.figures import Figure
from workbook.results.pipeline import Result, analyse

pytestmark = pytest.mark.usefixtures("few_spare_rows")

EWES: list[Row] = [
    {"ewe": "0412", "scanned": 2, "due": date(2026, 3, 16), "group": "Mead"},
    {"ewe": "0413", "scanned": 0, "group": "Mead"},
]
GROUPS: list[Row] = [{"group": "Mead", "ewes_to_ram": 2, "ram_in": date(2025, 10, 20), "ram_out": date(2025, 11, 20)}]
TWO_DAYS_ON = datetime(2026, 3, 17, 12, 0)
LAMBED: Row = {"ewe": "0412", "lambed_on": date(2026, 3, 15)}
LAMB: Row = {"ewe": "0412", "sex": Sex.EWE, "born": Born.ALIVE}

# A normal twin lambing as typed: the Lambing row, and what is typed for each of the two lambs.
ALL_WELL: tuple[Row, Row] = ({**LAMBED, "all_well": YesNo.YES}, LAMB)
WEIGHED_AND_TAGGED: tuple[Row, Row] = (
    {**LAMBED, "all_well": YesNo.YES, "next_day": NextDay.ALL_FULL}, {**LAMB, "tag": "70", "birth_weight": 4.5},
)
EACH_THING_SAID: tuple[Row, Row] = (
    {**LAMBED, "help": Help.NONE, "sides_in_milk": 2, "teats": Teats.SOUND, "next_day": NextDay.ALL_FULL},
    {**LAMB, "taken": Taken.YES},
)


def laid() -> dict[str, list[Row]]:
    return {"groups": GROUPS, **lay_ready(EWES, Order.DAY_BOOK)}


def typed(lambing: Row, lamb: Row) -> dict[str, list[Row]]:
    """The day book with one twin lambing typed into its first line; each lamb gets a tag of its own."""
    rows = laid()
    rows["lambing"][0] = {**rows["lambing"][0], **lambing}
    for number in range(2):
        own = {"tag": f"{lamb['tag']}{number}"} if "tag" in lamb else {}
        rows["lambs"][number] = {**rows["lambs"][number], **lamb, **own}
    return rows


def result(path: Path, rows: dict[str, list[Row]]) -> Result:
    build(path, Plan("Day book", rows))
    return analyse(read(path, TWO_DAYS_ON))


def test_lines_are_as_many_as_may_lamb_and_some_to_spare() -> None:
    rows = laid()
    lines = [row["line"] for row in rows["lambing"]]
    assert list(range(1, 1 + LAMBING.spare_rows + 1)) == lines
    assert [(line, lamb) for line in lines for lamb in range(1, LAMBS_A_LINE + 1)] == [
        (row["line"], row["lamb_no"]) for row in rows["lambs"]
    ]
    assert all(row.keys() == {"line", "row_key"} for row in rows["lambing"])
    keys = [row_key(sheet, row) for sheet, id in ((LAMBING, "lambing"), (LAMBS, "lambs")) for row in rows[id]]
    assert keys == [row["row_key"] for id in ("lambing", "lambs") for row in rows[id]]
    assert len(keys) == len(set(keys))


def test_the_line_comes_first_on_screen_and_hidden_elsewhere(tmp_path: Path) -> None:
    for order, place in ((Order.DAY_BOOK, 1), (Order.DUE, len(LAMBING.own_columns))):
        path = tmp_path / f"{order.value}.xlsx"
        build(path, Plan("Day book", lay_ready(EWES, order)))
        sheet = load_workbook(path)["Lambing"]
        assert LINE.title == sheet.cell(HEADING_ROW, place).value
        letter = sheet.cell(HEADING_ROW, place).column_letter
        assert (order is not Order.DAY_BOOK) == bool(sheet.column_dimensions[letter].hidden)


def test_an_untouched_line_is_no_lamb_and_a_ewe_alone_is_touched(tmp_path: Path) -> None:
    rows = laid()
    rows["lambs"][3] = {**rows["lambs"][3], "ewe": "0412"}
    rows["lambing"][1] = {**rows["lambing"][1], "ewe": "0412"}
    build(tmp_path / "season.xlsx", Plan("Touched", rows))
    season = read(tmp_path / "season.xlsx").season
    assert [3] == [place for place, row in enumerate(season.rows("lambs")) if row.touched]
    assert [1] == [place for place, row in enumerate(season.rows("lambing")) if row.touched]
    assert ["0412-1"] == [lamb.name for lamb in season.flock.lambs]


def test_an_empty_day_book_has_nothing_to_say(tmp_path: Path) -> None:
    found = result(tmp_path / "season.xlsx", laid())
    assert ((), 0) == (found.problems, len(found.season.flock.lambs))


@pytest.mark.parametrize(("lambing", "lamb", "cells"), [(*ALL_WELL, 9), (*WEIGHED_AND_TAGGED, 14), (*EACH_THING_SAID, 14)])
def test_a_normal_twin_lambing_takes_few_cells(tmp_path: Path, lambing: Row, lamb: Row, cells: int) -> None:
    issued = {column.id for sheet in (LAMBING, LAMBS) for column in sheet.issued_in((LINE.id,))}
    assert not issued & (lambing.keys() | lamb.keys())
    assert cells == len(lambing) + 2 * len(lamb)
    found = result(tmp_path / "season.xlsx", typed(lambing, lamb))
    assert () == found.problems
    ewe = found.season.flock.ewes["0412"]
    assert (True, 2, date(2026, 3, 15)) == (ewe.lambed, len(ewe.born_alive), ewe.lambed_on)
    assert 100 == found.mothering["0412"].score
    figures = named(found.figures)
    assert (2, 1) == (figures["litter_born"].numerator, figures["litter_born"].denominator)
    assert (0, 1) == (figures["assisted_pct"].numerator, figures["assisted_pct"].denominator)


# In list order her number stands on every row already.
DAY_AND_ALL_WELL: Row = {"lambed_on": LAMBED["lambed_on"], "all_well": YesNo.YES}
IN_LIST_ORDER = {
    "with a row for each lamb": (DAY_AND_ALL_WELL, {"sex": Sex.EWE, "born": Born.ALIVE}, 6),
    "by the count": ({**DAY_AND_ALL_WELL, "born_alive": 2}, {}, 3),
}


@pytest.mark.parametrize(("lambing", "lamb", "cells"), IN_LIST_ORDER.values(), ids=IN_LIST_ORDER)
def test_a_normal_twin_lambing_in_list_order_takes_at_most_six_cells(tmp_path: Path, lambing: Row, lamb: Row, cells: int) -> None:
    rows: dict[str, list[Row]] = {"groups": GROUPS, **lay_ready(EWES)}
    issued = {column.id for sheet in (LAMBING, LAMBS) for column in sheet.issued}
    assert not issued & (lambing.keys() | lamb.keys())
    assert cells == len(lambing) + 2 * len(lamb) <= 6
    rows["lambing"][0] = {**rows["lambing"][0], **lambing}
    rows["lambs"] = [{**row, **lamb} for row in rows["lambs"]]
    found = result(tmp_path / "season.xlsx", rows)
    assert () == found.problems
    ewe = found.season.flock.ewes["0412"]
    assert (True, 2, date(2026, 3, 15)) == (ewe.lambed, found.account.lines["born_alive"]["all"], ewe.lambed_on)
    assert (2, 1) == ((figures := named(found.figures))["litter_born"].numerator, figures["litter_born"].denominator)


def named(figures: Iterable[Figure]) -> dict[str, Figure]:
    return {figure.id: figure for figure in figures}


@pytest.mark.parametrize("blank", ["ewe", "lambed_on", "all_well", "born", "lamb ewe"])
def test_none_of_the_nine_can_be_left_out(tmp_path: Path, blank: str) -> None:
    lambing, lamb = ALL_WELL
    on_lamb = blank in ("born", "lamb ewe")
    column = blank.removeprefix("lamb ")
    less = {id: value for id, value in (lamb if on_lamb else lambing).items() if id != column}
    whole, found = (tmp_path / name / "season.xlsx" for name in ("whole", "less"))
    for path in (whole, found):
        path.parent.mkdir()
    told = [_told(result(whole, typed(*ALL_WELL))), _told(result(found, typed(lambing, less) if on_lamb else typed(less, lamb)))]
    assert told[0] != told[1]


def _told(found: Result) -> tuple[object, ...]:
    """What is said of the lambing: problems, her day, which ages rest on, her mothering score, the numbers of every figure."""
    score = found.mothering.get("0412")
    numbers = [(figure.id, figure.numerator, figure.denominator) for figure in found.figures]
    day = found.season.flock.ewes["0412"].lambed_on if "0412" in found.season.flock.ewes else None
    return ([problem.rule.id for problem in found.problems], day, score and (score.word, score.coverage), numbers)


def test_build_gives_a_day_book(tmp_path: Path) -> None:
    (tmp_path / "scan.csv").write_text("Tag,Scan\n0412,2\n0415,1\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(tmp_path / "scan.csv"), "--order", "daybook"])
    assert 0 == done.exit_code, done.output
    season = read(tmp_path / "scan-season.xlsx").season
    assert 1 == season.rows("lambing")[0].whole("line")
    assert ["0412", "0415"] == [row.text("ewe") for row in season.rows("ewes")]
