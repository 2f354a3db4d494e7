"""Scan lists as farms really write them: each is read right, asks what it must and nothing else; all shown on a page."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner
from scan_cases import ScanCase, cases, ewe_words, read_case

import template_builder
from template_builder.layout.count_words import COUNT_WORDS, DOUBTS
from template_builder.scan.by_ewe import ScanList
from template_builder.scan.cells import _NOT_SCANNED, _WHY_NO_COUNT, read_count
from workbook.cli import main
from workbook.reading.season_file import read

PAGE = Path(template_builder.__file__).parent / "SCANS.md"
CASES = cases()
LEAST_CASES = 60
HEAD = """# What is understood of a scanning list

Scanning lists come in many shapes. Each of these was written to a file and read as `build` reads it. Under the list stand the
ewes understood, with their counts (- where there is none), their days and their electronic numbers; what was taken for granted;
and what a person is **asked**. `build --preview` tells the same of your own list and writes nothing.
"""


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.slug)
def test_a_list_gives_its_ewes_its_counts_and_its_questions(case: ScanCase, tmp_path: Path) -> None:
    scan = read_case(case, tmp_path)
    if isinstance(scan, str):
        assert len(case.expected["refused"]) == 1
        assert case.expected["refused"][0] in scan
        return
    assert [] == case.expected["refused"]
    assert case.expected["ewe"] == [ewe_words(row) for row in scan.rows]
    asked = [left.reason for left in scan.unplaced]
    assert len(case.expected["asked"]) == len(asked), asked
    assert [] == [words for words, reason in zip(case.expected["asked"], asked, strict=True) if words not in reason]
    assert [] == [words for words in case.expected["noted"] if not any(words in note for note in scan.notes)], scan.notes


def test_there_are_enough_of_them_and_the_page_shows_each(
    tmp_path: Path, golden: Callable[[Path, str], None],
) -> None:
    assert LEAST_CASES <= len(CASES)
    golden(PAGE, HEAD + "".join(_section(case, read_case(case, tmp_path)) for case in CASES))


def _section(case: ScanCase, scan: ScanList | str) -> str:
    lines = ["", f"## {case.title[0].upper()}{case.title[1:]}", "", "```", *case.lines, "```", ""]
    if case.given:
        lines.append(f"- given: `{case.given}`")
    if isinstance(scan, str):
        return "\n".join([*lines, f"- refused: {scan}", ""])
    lines.append(f"- ewes: {'; '.join(map(ewe_words, scan.rows))}")
    lines += [f"- taken: {words}" for words in scan.understood]
    lines += [f"- noted: {note}" for note in scan.notes]
    lines += [f"- **asked**: {left.reason}" for left in scan.unplaced]
    return "\n".join([*lines, ""])


def test_no_word_for_a_count_means_two_things() -> None:
    words = [word for each in COUNT_WORDS.values() for word in each.split(", ")]
    assert len(words) == len(set(words))
    assert not set(words) & (_NOT_SCANNED | _WHY_NO_COUNT.keys() | {word for each in DOUBTS for word in each.split(", ")})
    assert [] == [word for count, each in COUNT_WORDS.items() for word in each.split(", ") if count != read_count(word)]


def test_a_preview_says_what_would_be_built_and_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Tag,Visual,Lambs,Mated,,Tag,Visual,Lambs,Mated\n"
                    "826012345600001,101,2,10/14/2025,,826012345600003,103,2,10/15/2025\n"
                    "826012345600002,102,1,10/04/2025,,826012345600004,104,0,10/05/2025\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(path), "--preview"])
    assert 0 == done.exit_code, done.output
    assert ("4 ewes in 2 blocks side by side; number from “Visual”, electronic number kept; dates month first; is that right? "
            "Nothing was written: build again without --preview.") == done.output.splitlines()[-1]
    assert [path] == list(tmp_path.iterdir())


@pytest.mark.parametrize(("rows", "options", "said"), [
    ("101,2,", (), "no due dates, no forecast: give --ram-in"),
    ("101,2,\n102,1,14/10/2025", (), "no due date for 1 of 2 ewes"),
    ("101,2,\n102,1,14/10/2025", ("--ram-in", "2025-10-10"), ""),
    ("101,0,\n102,1,14/10/2025", (), ""),  # an empty ewe is due on no day
])
def test_missing_mating_dates_are_said(tmp_path: Path, rows: str, options: tuple[str, ...], said: str) -> None:
    path = tmp_path / "list.csv"
    path.write_text(f"Ewe,Lambs,Mated\n{rows}\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(path), "--preview", *options])
    assert 0 == done.exit_code, done.output
    assert said in done.output if said else "no due date" not in done.output


def test_the_same_trouble_on_many_lines_is_told_once(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Ewe,Lambs\n" + "".join(f"{number},T\n" for number in range(101, 108)), encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(path), "--preview"])
    assert 1 == done.exit_code
    assert 1 == done.output.count("may be twins or triplets")
    assert "and 2 more, lines 7, 8" in done.output




def test_a_season_built_from_american_dates_has_the_right_days(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Ewe,Lambs,Due\n101,2,04/02/2026\n102,1,03/14/2026\n", encoding="utf-8")
    done = CliRunner().invoke(main, ["build", str(path)])
    assert 0 == done.exit_code, done.output
    season = read(tmp_path / "list-season.xlsx").season
    assert {"101": date(2026, 4, 2), "102": date(2026, 3, 14)} == {row["ewe"]: row["due"] for row in season.rows("ewes")}
