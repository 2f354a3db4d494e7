"""`build --previous`: the workbook from mating on, built again with the scan; and files that are not what they should be."""

import shutil
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from layouts import __file__ as layouts_file
from openpyxl import load_workbook

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, HowRecorded, Sex, WeightUnit, YesNo
from template_builder.layout.columns import Row, Start
from template_builder.layout.decided import KEEP, LAMB
from template_builder.layout.laying import lay_ready
from template_builder.layout.summary_tabs import REPLACEMENTS
from template_builder.layout.whole import LAYOUT_VERSION, META_TAB
from workbook.cli import main
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import Reading, read
from workbook.results.pipeline import analyse
from workbook.season.season import Season

pytestmark = pytest.mark.usefixtures("few_spare_rows")

LAYOUT_1 = Path(layouts_file).parent / "v1.xlsx"
EWES: list[Row] = [{"ewe": "0412", "born_year": 2021, "group": "Hill"}, {"ewe": "0415", "born_year": 2022, "group": "Hill"}]
LIST = "Ewe,Scanned\n0412,2\n0415,1\n"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def written(path: Path, year: int, *ewes: Row, start: Start = Start.INDOORS, **rows: Sequence[Row]) -> Path:
    """A season workbook with these rows."""
    settings: list[Row] = [{"row_key": "year", "value": year}, *rows.pop("season", ())]
    laid = lay_ready(ewes or EWES)
    build(path, Plan(f"Lambing season {year}", {"season": settings, **laid, **rows}, start), force=True)
    return path


def season(path: Path) -> Season:
    return read(path).season


def row_of(path: Path, ewe: str, sheet: str = "ewes") -> Row:
    return next(row.values for row in season(path).rows(sheet) if row["ewe"] == ewe)


# From mating on, and the scan filled in.


@pytest.fixture
def mating(tmp_path: Path) -> Path:
    """The workbook from mating on, as built from the season before."""
    before = written(tmp_path / "flock-2026.xlsx", 2026, groups=[{"group": "Hill", "how_recorded": HowRecorded.EACH_LAMB}])
    done = run("build", "--previous", before)
    assert 0 == done.exit_code, done.output
    return tmp_path / "flock-2027.xlsx"


def test_without_a_list_it_is_the_workbook_from_mating_on(mating: Path) -> None:
    of = season(mating)
    assert (2027, {"0412", "0415"}, ["Hill"]) == (of.year, {row["ewe"] for row in of.rows("ewes")},
                                                  [row["group"] for row in of.rows("groups")])
    assert {None} == {row["scanned"] for row in of.rows("ewes")} and 2 == len(of.rows("lambing"))
    assert () == of.rows("lambs")
    assert [] == list(read(mating).problems)


def typed(path: Path) -> None:
    """What people write from mating to scanning: rams, dates, a ewe bought, a look, a sheet and a column of their own."""
    book = load_workbook(path)
    groups, ewes, looks = book["Groups"], book["Ewes"], book["Ewe check"]
    places = {sheet.title: {str(cell.value): cell.column for cell in sheet[3] if cell.value} for sheet in (groups, ewes, looks)}
    groups.cell(4, places["Groups"]["Ram in"]).value = date(2026, 10, 10)
    groups.cell(4, places["Groups"]["Ewes to the ram"]).value = 3
    ewes.cell(4, places["Ewes"]["Ram"]).value = "T1"
    ewes.cell(5, places["Ewes"]["Mated on"]).value = date(2026, 10, 20)
    ewes.cell(6, places["Ewes"]["Ewe"]).value = "N1"
    ewes.cell(6, places["Ewes"]["Group"]).value = "Hill"
    looks.cell(4, places["Ewe check"]["Ewe"]).value = "0412"
    looks.cell(4, places["Ewe check"]["Date"]).value = date(2026, 12, 1)
    looks.cell(4, places["Ewe check"]["Notes"]).value = "limps"
    ewes.cell(3, ewes.max_column + 1).value = "Bought from"
    ewes.cell(6, ewes.max_column).value = "mart"
    book.create_sheet("Hay")["A1"] = "bales"
    book.save(path)


def test_built_again_with_the_list_the_scan_is_filled_in_and_all_that_was_typed_stands(mating: Path) -> None:
    typed(mating)
    scan = mating.with_name("scan.csv")
    scan.write_text("Ewe,Scanned,Ram\n412,2,T9\n0415,1,\nN1,3,\nN2,1,\n", encoding="utf-8")
    done = run("build", scan, "--previous", mating, "-o", mating.with_name("scanned.xlsx"))
    target = mating.with_name("scanned.xlsx")
    of = season(target)
    assert (1, 2027) == (done.exit_code, of.year)  # the ram differs
    assert "look: another ram on the list; what stands here was kept (1): 0412 (T9, here T1)" in done.output
    assert "joined but for leading zeros (1): 412 is 0412" in done.output
    assert "in as new, without a history (1): N2" in done.output
    told = [{column: row[column] for column in ("ewe", "scanned", "ram", "due", "group")} for row in of.rows("ewes")]
    due = date(2027, 3, 6)
    assert [{"ewe": "0412", "scanned": 2, "ram": "T1", "due": due, "group": "Hill"},
            {"ewe": "0415", "scanned": 1, "ram": None, "due": date(2027, 3, 16), "group": "Hill"},
            {"ewe": "N1", "scanned": 3, "ram": None, "due": due, "group": "Hill"},
            {"ewe": "N2", "scanned": 1, "ram": None, "due": due, "group": "Hill"}] == told
    assert [3] == [row["ewes_to_ram"] for row in of.rows("groups")]
    assert ["limps"] == [row["notes"] for row in of.rows("ewe_check")]
    assert [("N1", "mart")] == [(row["ewe"], row["+Bought from"]) for row in of.rows("ewes") if row.filled("+Bought from")]
    assert ("Hay",) == of.own_sheets
    assert {"0412": 2, "0415": 1, "N1": 3, "N2": 1} == {row["ewe"]: row["scanned"] for row in of.rows("lambing")}
    assert 7 == len(of.rows("lambs")) and not any(row.touched for row in of.rows("lambs"))
    assert [] == [problem.found.text for problem in read(target).problems if problem.rule.id != "R127"]
    assert "flock-2027.xlsx" in done.output and season(mating).rows("ewes")[0]["scanned"] is None  # the input is as it was


def test_lambings_written_before_the_list_came_keep_their_rows(mating: Path) -> None:
    book = load_workbook(mating)
    for title, cells in (("Lambing", {"Ewe": "0415", "Born alive": 1, "Notes": "early"}),
                         ("Lambs", {"Ewe": "0412", "Lamb no.": 2, "Lamb tag": "7001"})):
        sheet = book[title]
        places = {str(cell.value): cell.column for cell in sheet[3] if cell.value}
        row = next(row for row in range(4, 40) if sheet.cell(row, places["Ewe"]).value in (cells["Ewe"], None))
        for heading, value in cells.items():
            found = next(column for name, column in places.items() if name.casefold().endswith(heading.casefold()))
            sheet.cell(row, found).value = value
    book.save(mating)
    scan = mating.with_name("scan.csv")
    scan.write_text(LIST, encoding="utf-8")
    done = run("build", scan, "--previous", mating, "-o", mating.with_name("scanned.xlsx"), "--year", 2027)
    assert 0 == done.exit_code, done.output
    lambing = row_of(mating.with_name("scanned.xlsx"), "0415", "lambing")
    assert (1, 1, "early") == (lambing["scanned"], lambing["born_alive"], lambing["notes"])
    lambs = [(row["ewe"], row["lamb_no"], row["tag"]) for row in season(mating.with_name("scanned.xlsx")).rows("lambs")]
    assert [("0412", 1, None), ("0412", 2, "7001"), ("0415", 1, None)] == sorted(lambs, key=str)


def test_a_summary_beside_the_same_season_is_not_read_and_that_is_told(mating: Path) -> None:
    scan = mating.with_name("scan.csv")
    scan.write_text(LIST, encoding="utf-8")
    done = run("build", scan, "--previous", mating, "--decisions", mating.with_name("none.xlsx"), "--preview")
    assert "look: none.xlsx was not read: flock-2027.xlsx is of the same season and is carried as it stands" in done.output
    assert 1 == done.exit_code


def test_the_start_and_the_unit_are_those_of_the_season_before_unless_said(tmp_path: Path) -> None:
    before = written(tmp_path / "a.xlsx", 2026, start=Start.SIMPLE, season=[{"row_key": "weights_in", "value": WeightUnit.LB}])
    assert 0 == run("build", "--previous", before).exit_code
    of = season(tmp_path / "a-2027.xlsx")
    assert (Start.SIMPLE, WeightUnit.LB) == (of.start, of.settings.value("weights_in"))
    assert 0 == run("build", "--previous", before, "--start", "outdoors", "--weights", "kg", "-o", tmp_path / "b.xlsx").exit_code
    of = season(tmp_path / "b.xlsx")
    assert (Start.OUTDOORS, WeightUnit.KG) == (of.start, of.settings.value("weights_in"))


def test_a_tally_is_laid_over_the_groups_of_the_season_before(tmp_path: Path) -> None:
    before = written(tmp_path / "a.xlsx", 2026, groups=[
        {"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY, "notes": "far out"}, {"group": "Low"}])
    tally = tmp_path / "tally.csv"
    tally.write_text("Group,Ewes,Empty,Singles,Twins\nHill,60,2,20,38\nNew,10,0,5,5\n", encoding="utf-8")
    done = run("build", tally, "--previous", before, "--year", 2027, "-o", tmp_path / "b.xlsx")
    groups = {row["group"]: row for row in season(tmp_path / "b.xlsx").rows("groups")}
    assert (0, ["Hill", "Low", "New"]) == (done.exit_code, list(groups))
    assert (60, "2026: far out", HowRecorded.COUNTS_ONLY) == tuple(
        groups["Hill"][column] for column in ("tally_ewes", "notes", "how_recorded"))


def test_preview_says_what_would_come_and_writes_nothing(mating: Path) -> None:
    before = sorted(mating.parent.iterdir())
    done = run("build", "--previous", mating.with_name("flock-2026.xlsx"), "--preview", "--year", 2027)
    assert (0, before) == (done.exit_code, sorted(mating.parent.iterdir()))
    assert "season 2027" in done.output and "Nothing was written" in done.output


def test_ewe_lambs_chosen_at_the_meeting_come_in_as_ewes(tmp_path: Path) -> None:
    lambs: list[Row] = [{"ewe": "0412", "lamb_no": number, "born": Born.ALIVE, "sex": Sex.EWE, "tag": f"700{number}"}
                        for number in (1, 2)]
    before = written(tmp_path / "flock-2026.xlsx", 2026, lambs=lambs,
                     groups=[{"group": "Hill", "weaning": date(2026, 6, 20), "keep_daughters": YesNo.YES}])
    assert run("analyse", before, "-o", tmp_path / "summary.xlsx", "--as-of", "2026-09-01").exit_code in (0, 1)
    book = load_workbook(tmp_path / "summary.xlsx")
    sheet = book[REPLACEMENTS]
    top = next(row for row in sheet.iter_rows() if KEEP in [cell.value for cell in row])
    place = {str(cell.value): cell.column for cell in top if cell.value}
    row = next(row for row in sheet.iter_rows(min_row=top[0].row + 1) if row[place[LAMB] - 1].value == "0412-2")
    sheet.cell(row[0].row, place[KEEP]).value = YesNo.YES.label
    book.save(tmp_path / "summary.xlsx")
    done = run("build", "--previous", before, "--decisions", tmp_path / "summary.xlsx")
    assert "replacements born here; write their groups (1): 7002" in done.output, done.output
    young = row_of(tmp_path / "flock-2027.xlsx", "7002")
    assert (2026, 0, "0412-2", "daughter of 0412") == tuple(
        young[column] for column in ("born_year", "lambings_before", "also_known_as", "notes"))
    assert {"0412", "0415", "7002"} == {row["ewe"] for row in season(tmp_path / "flock-2027.xlsx").rows("ewes")}


# The year.


@pytest.mark.parametrize(("year", "code", "words"), [
    (2025, 2, "flock-2027.xlsx is of 2027, but this season is to be 2025: give the season workbook of the year before"),
    (2026, 2, "flock-2027.xlsx is of 2027, but this season is to be 2026"),
    (2027, 0, "season 2027"), (2028, 0, "season 2028"),
    (2029, 1, "look: flock-2027.xlsx is of 2027: what happened between it and 2029 is in no history"),
])
def test_the_year_decides_whether_it_is_the_next_or_the_same(mating: Path, year: int, code: int, words: str) -> None:
    done = run("build", "--previous", mating, "--year", year, "-o", mating.with_name("next.xlsx"))
    assert code == done.exit_code and words in done.output
    assert "Traceback" not in done.output


@pytest.mark.parametrize(("begun", "year"), [(False, 2027), (True, 2028)])
def test_a_list_without_dates_is_of_the_season_until_that_was_scanned(mating: Path, begun: bool, year: int) -> None:
    previous = written(mating, 2027, *({**ewe, "scanned": 2} for ewe in EWES)) if begun else mating
    scan = mating.with_name("scan.csv")
    scan.write_text(LIST, encoding="utf-8")
    run("build", scan, "--previous", previous, "-o", mating.with_name("next.xlsx"))
    assert year == season(mating.with_name("next.xlsx")).year


# Files that are not what they should be.


def summary(path: Path) -> None:
    write_summary(analyse(Reading(season(path.with_name("flock.xlsx")), ())), path)


def newer(path: Path) -> None:
    book = load_workbook(path.with_name("flock.xlsx"))
    sheet = book[META_TAB]
    next(row for row in sheet.iter_rows() if row[0].value == "layout")[1].value = LAYOUT_VERSION + 1
    book.save(path)


def own(path: Path) -> None:
    book = load_workbook(path.with_name("flock.xlsx"))
    for title in book.sheetnames[1:]:
        del book[title]
    book.defined_names.clear()
    book.save(path)


def truncated(path: Path) -> None:
    path.write_bytes(path.with_name("flock.xlsx").read_bytes()[:5000])


@pytest.mark.parametrize(("make", "words"), [
    (summary, "wrong.xlsx is a summary that analyse wrote: give the season workbook it was made from."),
    (newer, f"wrong.xlsx was built by a newer version of this program (layout {LAYOUT_VERSION + 1}, here {LAYOUT_VERSION})"),
    (own, "wrong.xlsx is not a season workbook"),
    (truncated, "wrong.xlsx"), (lambda path: path.write_bytes(b""), "wrong.xlsx is an empty file"),
    (lambda path: None, "wrong.xlsx was not found: check the name and the folder"),
], ids=["summary", "newer", "foreign", "cut short", "empty", "not there"])
def test_a_season_before_that_cannot_be_read_is_told_in_words(
    tmp_path: Path, make: Callable[[Path], object], words: str,
) -> None:
    written(tmp_path / "flock.xlsx", 2026)
    make(tmp_path / "wrong.xlsx")
    done = run("build", "--previous", tmp_path / "wrong.xlsx", "-o", tmp_path / "next.xlsx")
    assert (2, True) == (done.exit_code, words in done.output), done.output
    assert not (tmp_path / "next.xlsx").exists() and "Traceback" not in done.output


@pytest.mark.parametrize(("given", "words"), [
    ("flock.xlsx", "flock.xlsx is not a summary workbook"), ("none.xlsx", "none.xlsx was not found"),
])
def test_decisions_that_cannot_be_read_are_told_in_words(tmp_path: Path, given: str, words: str) -> None:
    before = written(tmp_path / "flock.xlsx", 2026)
    done = run("build", "--previous", before, "--decisions", tmp_path / given, "-o", tmp_path / "next.xlsx")
    assert (2, True, False) == (done.exit_code, words in done.output, (tmp_path / "next.xlsx").exists()), done.output


def test_a_workbook_of_the_first_layout_is_carried_and_what_it_lacks_is_told(tmp_path: Path) -> None:
    before = tmp_path / "old.xlsx"
    shutil.copy(LAYOUT_1, before)
    done = run("build", "--previous", before, "-o", tmp_path / "next.xlsx")
    assert "this workbook has layout 1, the newest is 2" in done.output
    old, new = season(before), season(tmp_path / "next.xlsx")
    here = {ewe.name for ewe in old.flock.ewes.values() if not ewe.gone}
    assert here == {row["ewe"] for row in new.rows("ewes")}
    assert LAYOUT_VERSION == new.layout


def test_errors_in_the_season_before_are_counted_and_named(tmp_path: Path) -> None:
    before = written(tmp_path / "flock.xlsx", 2026, *EWES, {"ewe": "0412", "born_year": 2020})
    done = run("build", "--previous", before)
    assert 1 == done.exit_code
    assert "in the records of flock.xlsx, on which the histories rest: correct what lambing-workbook check" in done.output
    assert "look: flock.xlsx:Ewes!A4: ewe 0412 stands again in Ewes!A5" in done.output


def test_neither_list_nor_season_or_decisions_alone_is_a_slip_of_the_command() -> None:
    for words in ((), ("--decisions", "summary.xlsx", "list.csv")):
        done = run("build", *words)
        assert (2, True) == (done.exit_code, "--previous" in done.output)


def test_the_season_before_is_never_replaced(tmp_path: Path) -> None:
    before = written(tmp_path / "flock.xlsx", 2026)
    held = before.read_bytes()
    done = run("build", "--previous", before, "-o", before, "--force")
    assert (2, held) == (done.exit_code, before.read_bytes())


