"""Three seasons in a row through the commands: build, fill in, analyse, decide, build the next. Nobody appears or vanishes
without a line that says why, and a fault in two of three lambings acts where one does not."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, CheckOccasion, EweLeft, LambLeft, Mouth, Taken, Udder, Verdict
from template_builder.layout.columns import Row
from template_builder.layout.decided import COMMENT, OWN_WORD, WHY
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.left import LEFT
from workbook.cli import main
from workbook.reading.season_file import read
from workbook.results.advice.decisions import Decision
from workbook.results.pipeline import analyse
from workbook.season.season import Season

pytestmark = pytest.mark.usefixtures("few_spare_rows")

SCAN = "Ewe,Scanned,Born year,Lambings before,Official tag\n"
FIRST = SCAN + "".join(
    f"{name},2,{born},{before},8260123456{number:05}\n" for number, (name, born, before) in enumerate([
        ("0101", 2021, 3), ("0102", 2021, 3), ("0103", 2024, 0), ("0104", 2022, 2), ("0105", 2023, 1), ("0106", 2020, 4),
        ("0107", 2021, 3)], start=101))


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def fill_in(path: Path, more: dict[str, Sequence[Row]], ewes: dict[str, Row] | None = None) -> None:
    """Type into a workbook: further rows by sheet, and cells on the rows of ewes."""
    season = read(path).season
    rows = {sheet.id: [dict(row.values) for row in season.rows(sheet.id)] for sheet in SHEETS}
    rows[LEFT.id] = [dict(row.values) for row in season.rows(LEFT.id)]
    for row in rows["ewes"]:
        row.update((ewes or {}).get(str(row["ewe"]), {}))
    for sheet, added in more.items():
        rows[sheet] = [*rows[sheet], *(dict(row) for row in added)]
    build(path, Plan("Season", rows), force=True)


def lambs(year: int, *fates: tuple[str, str]) -> dict[str, Sequence[Row]]:
    """Lambing and two lambs of each ewe: "well", "refused" one, or "lost" both."""
    rows: dict[str, Sequence[Row]] = {"lambing": [{"ewe": ewe, "lambed_on": date(year, 3, 5)} for ewe, _ in fates]}
    rows["lambs"] = [
        {"ewe": ewe, "lamb_no": number, "born": Born.ALIVE, "taken": Taken.REFUSED if fate == "refused" and number == 1 else None,
         "left_how": LambLeft.DIED if fate == "lost" else None} for ewe, fate in fates for number in (1, 2)]
    for row in rows["lambs"]:
        for column in [column for column, value in row.items() if value is None]:
            del row[column]  # type: ignore[attr-defined]
    rows["ewe_check"] = [{"ewe": ewe, "date": date(year, 8, 20), "occasion": CheckOccasion.BEFORE_MATING, "udder": Udder.SOUND,
                          "mouth": Mouth.FULL} for ewe, _ in fates]
    return rows


def weaned(path: Path) -> None:
    """Write the weaning day of every group."""
    season = read(path).season
    rows = {sheet.id: [dict(row.values) for row in season.rows(sheet.id)] for sheet in SHEETS}
    rows[LEFT.id] = [dict(row.values) for row in season.rows(LEFT.id)]
    for row in rows["groups"]:
        row["weaning"] = date(season.year, 6, 20)
    build(path, Plan("Season", rows), force=True)


def decide(summary: Path, words: dict[str, tuple[str, str]]) -> None:
    """Write the meeting's own word, with why, beside ewes."""
    book: Any = load_workbook(summary)
    sheet = book["Ewe decisions"]
    top = next(row for row in sheet.iter_rows() if OWN_WORD in [cell.value for cell in row])
    columns = {str(cell.value): cell.column for cell in top if cell.value}
    for row in sheet.iter_rows(min_row=top[0].row + 1):
        if str(row[0].value) in words:
            for title, word in zip((OWN_WORD, WHY), words[str(row[0].value)], strict=True):
                sheet.cell(row[0].row, columns[title]).value = word
            sheet.cell(row[0].row, columns[COMMENT]).value = "talked over"
    book.save(summary)


@dataclass
class Years:
    """The three seasons as read, what the builds said, and the files."""

    seasons: dict[int, Season]
    said: dict[int, str]
    folder: Path

    def decision(self, year: int, ewe: str) -> Decision:
        season = self.seasons[year]
        return analyse(read(self.folder / season.file, datetime(year, 9, 1))).decisions[season.flock.names.match(ewe).key]


@pytest.fixture(scope="module")
def years(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Years]:
    folder = tmp_path_factory.mktemp("years")
    said: dict[int, str] = {}
    (folder / "scan.csv").write_text(FIRST, encoding="utf-8")
    file = {year: folder / f"flock-{year}.xlsx" for year in (2026, 2027, 2028, 2029)}
    assert 0 == run("build", folder / "scan.csv", "-o", file[2026], "--year", 2026, "--ram-in", "2025-10-10").exit_code
    fates = {
        2026: (("0101", "refused"), ("0102", "refused"), ("0103", "refused"), ("0104", "lost"), ("0105", "well"),
               ("0106", "well")),
        2027: (("0101", "refused"), ("0102", "well"), ("0103", "refused"), ("0105", "well"), ("0106", "well"), ("0200", "well")),
        2028: (("0102", "refused"), ("0103", "refused"), ("0105", "well"), ("0200", "well"), ("0300", "well")),
    }
    gone: dict[int, dict[str, Row]] = {
        2026: {"0107": {"left_on": date(2026, 1, 3), "left_how": EweLeft.DIED}},
        2027: {"0106": {"left_on": date(2027, 5, 1), "left_how": EweLeft.SOLD}},
        2028: {},
    }
    words = {2026: {"0105": ("keep", "quiet ewe"), "0104": ("cull", "too thin")}, 2027: {"0102": ("watch", "")}}
    bought = {2027: "0200,1,2025,1,826012345600200\n", 2028: "0300,2,2026,1,826012345600300\n"}
    for year in (2026, 2027, 2028):
        fill_in(file[year], lambs(year, *fates[year]), gone[year])
        weaned(file[year])
        if year == 2028:
            break
        summary = folder / f"summary-{year}.xlsx"
        run("analyse", file[year], "-o", summary, "--as-of", f"{year}-09-01")
        decide(summary, words[year])
        scan = folder / f"scan-{year + 1}.csv"
        here = [name for name, _ in fates[year + 1] if name not in bought[year + 1]]
        scan.write_text("Ewe,Scanned,Born year,Lambings before,Official tag\n" + "".join(f"{name},2,,,\n" for name in here)
                        + bought[year + 1], encoding="utf-8")
        done = run("build", scan, "--previous", file[year], "--decisions", summary, "-o", file[year + 1], "--year", year + 1)
        said[year + 1] = done.output
        assert done.exit_code in (0, 1), done.output
    yield Years({year: read(file[year]).season for year in (2026, 2027, 2028)}, said, folder)


def names(season: Season, sheet: str = "ewes") -> set[str]:
    return {str(row["ewe"]) for row in season.rows(sheet)}


def test_ages_and_tags_follow_every_ewe(years: Years) -> None:
    first = {str(row["ewe"]): row for row in years.seasons[2026].rows("ewes")}
    for year in (2027, 2028):
        for row in years.seasons[year].rows("ewes"):
            if (before := first.get(str(row["ewe"]))) is not None:
                assert [before[column] for column in ("born_year", "official_tag")] == [
                    row[column] for column in ("born_year", "official_tag")]
                assert before.whole("lambings_before") == row.number("lambings_before") - (year - 2026)  # type: ignore[operator]


def test_nobody_appears_or_vanishes_without_a_line_that_says_why(years: Years) -> None:
    for year in (2027, 2028):
        before, after = names(years.seasons[year - 1]), names(years.seasons[year])
        left = names(years.seasons[year], "left")
        lines = {name: [line for line in years.said[year].splitlines() if re.search(rf"\b{name}\b", line)]
                 for name in before ^ after}
        assert before - after == left - names(years.seasons[year - 1], "left")
        assert all(any("on Left now" in line for line in lines[name]) for name in before - after)
        assert all(any("in as new" in line for line in lines[name]) for name in after - before)
    assert ({"0104", "0107"}, {"0101", "0104", "0106", "0107"}) == (
        names(years.seasons[2027], "left"), names(years.seasons[2028], "left"))


def test_a_ewe_decided_to_go_who_is_scanned_all_the_same_is_back_and_off_left(years: Years, tmp_path: Path) -> None:
    (tmp_path / "scan.csv").write_text("Ewe,Scanned\n0104,2\n", encoding="utf-8")
    target = tmp_path / "flock.xlsx"
    done = run("build", tmp_path / "scan.csv", "--previous", years.folder / "flock-2026.xlsx", "--decisions",
               years.folder / "summary-2026.xlsx", "--year", 2027, "-o", target)
    assert (1, True) == (done.exit_code, "though decided to go" in done.output)
    assert {"0107"} == names(read(target).season, "left")
    assert "2026: scanned 2; 2 born, 0 reared" in str(next(
        row["past_year_1"] for row in read(target).season.rows("ewes") if row["ewe"] == "0104"))


def test_left_says_how_when_and_why(years: Years) -> None:
    told = {str(row["ewe"]): row for row in years.seasons[2028].rows("left")}
    assert [("died", "3 Jan 2026", None, "2026"), ("culled by decision", None, "too thin", "2026"),
            ("sold", "1 May 2027", None, "2027")] == [
        tuple(told[name][column] for column in ("how", "left_on", "why", "season")) for name in ("0107", "0104", "0106")]
    assert "Refused her lambs" in str(told["0101"]["why"])


def test_a_fault_in_two_of_three_acts_and_in_one_does_not(years: Years) -> None:
    # 0101 refused twice: the second time she goes. 0102 refused, reared well, refused again: two of three. 0105 never.
    assert [Verdict.KEEP, Verdict.CULL] == [years.decision(year, "0101").verdict for year in (2026, 2027)]
    assert [Verdict.KEEP, Verdict.KEEP, Verdict.CULL] == [years.decision(year, "0102").verdict for year in (2026, 2027, 2028)]
    # 0103 refused at her first lambing, which does not count, and then twice.
    assert [Verdict.KEEP, Verdict.KEEP, Verdict.CULL] == [years.decision(year, "0103").verdict for year in (2026, 2027, 2028)]
    assert {Verdict.KEEP} == {years.decision(year, "0105").verdict for year in (2026, 2027, 2028)}


def test_histories_say_what_the_seasons_said(years: Years) -> None:
    rows = {str(row["ewe"]): row for row in years.seasons[2028].rows("ewes")}
    told = [f"past_{what}" for what in ("lambings", "born", "reared", "fault_1", "fault_2", "fault_3")]
    assert (2, 4, 4, 0, 1, None) == tuple(rows["0102"][column] for column in told)
    assert (2, 4, 4, 1, 1, None) == tuple(rows["0103"][column] for column in told)
    assert (1, 2, 2, 0, None, None) == tuple(rows["0200"][column] for column in told)
    assert [None] * 6 == [rows["0300"][column] for column in told]
    assert ["2027: scanned 2; 2 born, 2 reared", "2026: scanned 2; 2 born, 2 reared; refused her lambs"] == [
        rows["0102"][column] for column in ("past_year_1", "past_year_2")]
    assert "udder sound, mouth full (Aug 2027)" == rows["0102"]["past_looks"]


def test_the_result_of_the_third_season_has_three_years_of_each_ewe(years: Years) -> None:
    result = analyse(read(years.folder / "flock-2028.xlsx", datetime(2028, 9, 1)))
    lines = result.years["0102"]
    assert ["2028", "2027", "2026"] == [line.split(":")[0] for line in lines]


def test_a_word_of_the_meeting_goes_with_her(years: Years) -> None:
    row = next(row for row in years.seasons[2027].rows("ewes") if row["ewe"] == "0105")
    assert ("2026 meeting: talked over", "kept: quiet ewe") == (row["notes"], row["past_warning"])
