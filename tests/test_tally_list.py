"""A tally by group in the shapes it comes in: what is understood of it, what is left out, and the season built from it."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest
import xlsxwriter
from click.testing import CliRunner

from template_builder.layout.choices import HowRecorded, Kept
from template_builder.scan.by_ewe import ScanList, read_scan_list
from template_builder.scan.reading import parse_columns, read_list
from template_builder.scan.season_rows import Mating
from template_builder.scan.tally import TallyList, TallyRow
from template_builder.scan.tally_rows import tally_season_rows, tally_year
from workbook.cli import main
from workbook.reading.season_file import read


def csv_of(folder: Path, *lines: str) -> Path:
    path = folder / "tally.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def tally(folder: Path, *lines: str, **options: object) -> TallyList:
    found = read_list(csv_of(folder, *lines), **options)  # type: ignore[arg-type]
    assert isinstance(found, TallyList)
    return found


def workbook_of(folder: Path, *rows: Sequence[object]) -> Path:
    path = folder / "tally.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Tally")
        for at, row in enumerate(rows):
            sheet.write_row(at, 0, row)
    return path


@pytest.mark.parametrize(("ram_in", "mating", "year"), [
    (date(2025, 11, 5), Mating(), 2026), (None, Mating(ram_in=date(2025, 11, 5)), 2026), (None, Mating(), 2025),
    (date(2025, 8, 6), Mating(), 2025), (date(2025, 8, 7), Mating(), 2026),  # 147 days to 31 December and to 1 January
    (date(2025, 11, 5), Mating(year=2024), 2024),
])
def test_the_lambing_year_is_that_of_the_due_days_before_that_of_the_scan(ram_in: date | None, mating: Mating, year: int) -> None:
    row = TallyRow(4, "Hill", 50, (1, 20, 29, 0, 0), ram_in=ram_in, scanned_on=date(2025, 12, 28))
    assert year == tally_year([row], mating)


def test_without_any_date_there_is_no_lambing_year() -> None:
    assert None is tally_year([TallyRow(4, "Hill", 50, (1, 20, 29, 0, 0))], Mating())


@pytest.mark.parametrize("headings", [
    "group,ewes,empty,singles,twins,triplets,four or more",
    "Heft,Ewes scanned,Barren,Single,Doubles,Trips,Quads",
    "Mob,Head,Open,Singles,Twins,Triplets,4+",
    "Mob,No. of ewes,Geld,1,2,3,4+",
    "Hirsel,Total,0,Ones,Twos,Threes,4 or more",
    "Lot,Head,Yeld,With one,With two,3+,Fours",
])
def test_headings_people_use(tmp_path: Path, headings: str) -> None:
    (row,) = tally(tmp_path, headings, "Near,100,5,60,30,4,1").rows
    assert ("Near", 100, (5, 60, 30, 4, 1)) == (row.group, row.ewes, row.classes)


def test_numbers_as_headings_of_a_workbook(tmp_path: Path) -> None:
    found = read_list(workbook_of(tmp_path, ["Group", "Ewes", 0, 1, 2, 3], ["Near", 100, 5, 60, 30, 5]))
    assert isinstance(found, TallyList)
    assert (5, 60, 30, 5, 0) == found.rows[0].classes


def test_a_tally_with_numbers_as_headings_is_no_list_without_headings(tmp_path: Path) -> None:
    found = tally(tmp_path, "Mob,0,1", "Near,5,65", "Far,3,60", "Top,4,62")
    assert [(5, 65), (3, 60), (4, 62)] == [row.classes[:2] for row in found.rows]


def test_shares_in_per_cent_are_no_tallies(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Ewes,% twins,Empty,Singles,Twins", "Near,100,30,5,65,30")
    assert (5, 65, 30, 0, 0) == found.rows[0].classes
    assert ("% twins", None) == (found.headings[2].heading, found.headings[2].column)


def test_three_or_more_is_said_to_be_three(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Ewes,Empty,Singles,Twins,3+", "Near,100,5,60,30,5")
    assert (5, 60, 30, 5, 0) == found.rows[0].classes
    assert "“3+” is taken as three: a ewe with four counts as one with three" in found.notes


def test_a_list_by_ewe_is_none(tmp_path: Path) -> None:
    path = csv_of(tmp_path, "Ewe,Scanned,Group,Empty,Singles", "0412,2,Near,,")
    assert isinstance(read_list(path), ScanList)
    assert read_scan_list(path) == read_list(path)


def test_a_list_with_ticks_by_ewe_is_a_list_by_ewe(tmp_path: Path) -> None:
    found = read_list(csv_of(tmp_path, "Tag,Group,Empty,Singles,Twins", "0412,Near,,x,"))
    assert isinstance(found, ScanList)
    assert ("0412", 1, "Near") == (found.rows[0].ewe, found.rows[0].scanned, found.rows[0].group)


def test_own_headings_are_given(tmp_path: Path) -> None:
    found = tally(tmp_path, "Where,All,Nowt,Yan,Tan", "Near,100,5,65,30",
                  columns=parse_columns("Where=group,All=ewes,Nowt=empty,Yan=singles,Tan=twins"))
    assert ("Near", 100, (5, 65, 30, 0, 0)) == (found.rows[0].group, found.rows[0].ewes, found.rows[0].classes)


def test_a_column_neither_list_has_is_refused() -> None:
    with pytest.raises(ValueError, match="is not a column of a scanning list"):
        parse_columns("Where=paddockery")


@pytest.mark.parametrize(("line", "reason"), [
    ("Near,100,5,60,30,", "The group is kept as written, but its tally comes to 95 of 100 ewes scanned; correct the number "
                          "that is wrong."),
    ("Near,100,,,,", "The group is kept as written, but none of its 100 ewes is in a tally; write how many were empty, with "
                     "one, with two."),
    ("Near,100,5,many,30,5", "The group is kept and its number with one is left blank: “many” is not a number of ewes; write "
                             "a whole number from 0 to 20000."),
    (",100,5,60,30,5", "The row is left out: there is no group's name in it; write the name, or clear the row."),
    ("Near,,,,,", "The row is left out: no tally stands beside the group; write how many ewes were scanned with none, one, "
                  "two, or clear the row."),
])
def test_what_cannot_be_placed_is_said(tmp_path: Path, line: str, reason: str) -> None:
    found = tally(tmp_path, "Group,Ewes,Empty,Singles,Twins,Triplets", "Far,10,1,5,4,", line)
    assert [(3, line, reason)] == [(left.line, left.text, left.reason) for left in found.unplaced]


def test_a_group_twice_is_left_out(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Ewes,Empty,Singles", "Near,10,1,9", "near,12,1,11")
    assert 1 == len(found.rows)
    assert "group near already stands in line 2" in found.unplaced[0].reason


def test_totals_are_set_aside_and_sums_made(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Empty,Singles,Twins", "Near,5,60,30", "Total,5,60,30")
    assert ["Near"] == [row.group for row in found.rows]
    assert 95 == found.rows[0].ewes
    assert "line 2: group Near: ewes scanned taken as the sum of its tally, 95" in found.notes
    assert "line 3: taken as a totals row, not a group (Total,5,60,30)" in found.notes


def test_thousands_and_words_in_a_number(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Ewes,Empty,Singles", 'Near,"1,200",200 ewes,1000')
    assert (1200, (200, 1000, 0, 0, 0)) == (found.rows[0].ewes, found.rows[0].classes)


def test_days_are_judged_by_the_column(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Empty,Singles,Rams in", "Near,5,60,11/05/2025", "Far,5,60,11/18/2025")
    assert [date(2025, 11, 5), date(2025, 11, 18)] == [row.ram_in for row in found.rows]
    assert "dates such as “11/05/2025” were read as month, day, year" in found.notes


def test_days_written_both_ways_round_are_asked_once(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,Empty,Singles,Rams in", "Near,5,60,18/11/2025", "Far,5,60,11/18/2025", "Top,5,60,11/05/2025")
    assert [date(2025, 11, 18), date(2025, 11, 18), None] == [row.ram_in for row in found.rows]
    (asked,) = found.unplaced
    assert asked.reason.startswith("In the column for the day the ram went in some dates have the day first")


def test_other_sheets_are_named(tmp_path: Path) -> None:
    path = tmp_path / "tally.xlsx"
    with xlsxwriter.Workbook(path) as book:
        for name, rows in {"Tally": [["Group", "Empty", "Singles"], ["Near", 5, 60]], "Bill": [["40 ewes"]]}.items():
            sheet = book.add_worksheet(name)
            for at, row in enumerate(rows):
                sheet.write_row(at, 0, row)
    assert [("Bill", 1, "40 ewes")] == [(left.sheet, left.line, left.text) for left in read_list(path).unplaced]


def test_rows_of_a_season(tmp_path: Path) -> None:
    found = tally(tmp_path, "Group,To the tup,Ewes,Empty,Singles,Twins,Tups in,Scan date",
                  "Near,104,100,5,65,30,18/11/2025,20/2/2026")
    rows = tally_season_rows(found.rows, Mating(ram_out=date(2026, 1, 3)))
    assert [{"row_key": "year", "value": 2026}] == rows["season"]
    assert [{
        "group": "Near", "ewes_to_ram": 104, "ram_in": date(2025, 11, 18), "ram_out": date(2026, 1, 3), "kept": Kept.OUTDOORS,
        "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": 100, "tally_0": 5, "tally_1": 65, "tally_2": 30, "tally_3": 0,
        "tally_4": 0,
    }] == rows["groups"]


def test_build_accepts_a_tally(tmp_path: Path) -> None:
    path = csv_of(tmp_path, "Heft,Ewes,Empty,Singles,Twins", "Near,100,5,65,30", "Far,100,5,65,29")
    done = CliRunner().invoke(main, ["build", str(path)])
    assert 1 == done.exit_code, done.output
    assert "tally.csv: a tally of 2 groups, 200 ewes scanned" in done.output
    assert "'Singles' -> singles (recognised)" in done.output
    assert "comes to 99 of 100 ewes scanned" in done.output
    season = read(tmp_path / "tally-season.xlsx").season
    near, far = season.rows("groups")
    assert (100, 5, 65, 30, 0, 0) == tuple(near[f"tally_{name}"] for name in ("ewes", 0, 1, 2, 3, 4))
    assert (HowRecorded.COUNTS_ONLY, None) == (far["how_recorded"], far["tally_3"])
    assert not season.rows("ewes")
