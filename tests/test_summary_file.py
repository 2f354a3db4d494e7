"""A summary workbook read back: what the meeting decided, and what could not be taken, each in one sentence."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet
from seasons import season

from demo_workbooks import CLEAN, FOLDER
from template_builder.files.guard import Unreadable
from template_builder.files.opening import open_cells
from template_builder.layout.choices import Action, Born, Compare, HowRecorded, OnOff, Sex, Verdict, When
from template_builder.layout.columns import Row
from template_builder.layout.decided import COMMENT, EWE, KEEP, KEY, LAMB, OWN_WORD, POLICY_TITLES, WHY
from template_builder.layout.policy import RULES
from template_builder.layout.summary_tabs import EWE_DECISIONS, POLICY, REPLACEMENTS
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import Reading
from workbook.reading.summary_file import decisions_in, read_decisions
from workbook.results.pipeline import analyse
from workbook.season.decided import Decided
from workbook.season.season import Season

pytestmark = pytest.mark.usefixtures("few_spare_rows")

NAMES = ("0412", "0415", "0420", "7001")
EWES: list[Row] = [{"ewe": name, "scanned": 0, "lambings_before": 3} for name in NAMES]
SEASON = season(ewes=EWES)
LIMIT = POLICY_TITLES["limit"]
Change = Callable[[Any], None]


@pytest.fixture(scope="module")
def summary(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("back") / "summary.xlsx"
    write_summary(analyse(Reading(SEASON, ())), path)
    return path


def top_of(sheet: Worksheet, title: str) -> tuple[int, dict[str, int]]:
    """The row of the headings, and the column of each."""
    row = next(row for row in sheet.iter_rows() if title in [cell.value for cell in row])
    return int(row[0].row), {str(cell.value): int(cell.column) for cell in row if cell.value}


def cell(sheet: Worksheet, row: str, title: str) -> Any:
    """The cell under a heading, in the row whose first cell, or whose hidden key, says `row`."""
    top, columns = top_of(sheet, KEY)
    found = next(number for number in range(top + 1, sheet.max_row + 1)
                 if row in (sheet.cell(number, 1).value, sheet.cell(number, columns[KEY]).value))
    return sheet.cell(found, columns[title])


def back(summary: Path, folder: Path, change: Change, of: Season = SEASON) -> Decided:
    """What is read after a change to the workbook."""
    book: Any = load_workbook(summary)
    change(book)
    book.save(folder / "changed.xlsx")
    return read_decisions(folder / "changed.xlsx", of)


def write(tab: str, row: str, title: str, value: object) -> Change:
    def change(book: Any) -> None:
        cell(book[tab], row, title).value = value

    return change


def all_of(*changes: Change) -> Change:
    def change(book: Any) -> None:
        for one in changes:
            one(book)

    return change


def test_a_summary_nobody_wrote_in_decides_nothing_and_has_the_policy_of_its_season(summary: Path) -> None:
    decided = read_decisions(summary, SEASON)
    assert ({}, {}, ()) == (decided.own_words, decided.comments, decided.problems)
    assert list(RULES) == [placed.rule for placed in decided.policy.rules]
    assert SEASON.policy.weights == decided.policy.weights


@pytest.mark.parametrize("verdict", [Verdict.CULL, Verdict.DRAFT, Verdict.WATCH, Verdict.KEEP])
def test_what_was_decided_is_read_with_its_reason_and_its_comment(verdict: Verdict, summary: Path, tmp_path: Path) -> None:
    decided = back(summary, tmp_path, all_of(
        write(EWE_DECISIONS, "0412", OWN_WORD, f" {verdict.label.upper()} "), write(EWE_DECISIONS, "0412", WHY, "good mother"),
        write(EWE_DECISIONS, "0415", COMMENT, "ask Tuesday")))
    word = decided.own_words["0412"]
    assert (verdict, "good mother", EWE_DECISIONS) == (word.verdict, word.why, word.place.sheet)
    assert ({"0415": "ask Tuesday"}, ["0412"], ()) == (decided.comments, list(decided.own_words), decided.problems)


def test_policy_as_set_at_the_meeting(summary: Path, tmp_path: Path) -> None:
    decided = back(summary, tmp_path, all_of(
        write(POLICY, "jaw", LIMIT, 2), write(POLICY, "jaw", POLICY_TITLES["on"], "off"),
        write(POLICY, "jaw", POLICY_TITLES["compare"], "at most"), write(POLICY, "jaw", POLICY_TITLES["action"], "cull"),
        write(POLICY, "jaw", POLICY_TITLES["at_mating"], "note"), write(POLICY, "jaw", POLICY_TITLES["when"], "two of three"),
        write(POLICY, "udder-damaged", POLICY_TITLES["at_mating"], None), write(POLICY, "repeatability", LIMIT, 0.2)))
    found = {placed.rule.id: placed.rule for placed in decided.policy.rules}
    own = {rule.id: rule for rule in RULES}
    assert replace(own["jaw"], limit=2, on=OnOff.OFF, compare=Compare.AT_MOST, action=Action.CULL, at_mating=Action.NOTE,
                   when=When.TWO_OF_THREE) == found["jaw"]
    assert found["udder-damaged"].at_mating is None and own["gummer"] == found["gummer"]
    assert (0.2, ()) == (decided.policy.weights["repeatability"], decided.problems)


def test_of_a_flock_known_by_counts_only_the_policy_is_read(tmp_path: Path) -> None:
    """There is no ewe to decide on, so its summary has no such tab; where there are ewes, a tab that is gone is asked for."""
    of = season(groups=[{"group": "Hill", "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": 40, "tally_1": 40}])
    write_summary(analyse(Reading(of, ())), tmp_path / "summary.xlsx")
    decided = read_decisions(tmp_path / "summary.xlsx", of)
    assert ({}, list(RULES)) == (decided.own_words, [placed.rule for placed in decided.policy.rules])
    with pytest.raises(Unreadable, match=f"among the headings of {EWE_DECISIONS}"):
        read_decisions(tmp_path / "summary.xlsx", SEASON)


def swap_names(book: Any) -> None:
    one, other = (cell(book[EWE_DECISIONS], name, EWE) for name in ("0412", "0415"))
    one.value, other.value = other.value, one.value


def swap_rows(book: Any) -> None:
    """As sorting the whole table does."""
    sheet = book[EWE_DECISIONS]
    one, other = (cell(sheet, name, EWE).row for name in ("0412", "0420"))
    for column in range(1, sheet.max_column + 1):
        first, second = sheet.cell(one, column), sheet.cell(other, column)
        first.value, second.value = second.value, first.value


def without_rule(book: Any) -> None:
    book[POLICY].delete_rows(cell(book[POLICY], "jaw", LIMIT).row)


def twice(book: Any) -> None:
    sheet = book[EWE_DECISIONS]
    row = cell(sheet, "0412", EWE).row
    for column in range(1, sheet.max_column + 1):
        sheet.cell(sheet.max_row + (column == 1), column).value = sheet.cell(row, column).value


def below(text: str) -> Change:
    """Something written in the columns of the decisions, some rows below the last ewe."""
    def change(book: Any) -> None:
        sheet = book[EWE_DECISIONS]
        sheet.cell(sheet.max_row + 3, top_of(sheet, KEY)[1][OWN_WORD]).value = text

    return change


TOLD = {
    "a word outside the list": (
        write(EWE_DECISIONS, "0412", OWN_WORD, "sell"),
        "“sell” is no decision about ewe 0412: choose cull; draft; watch; keep"),
    "a reason alone": (
        write(EWE_DECISIONS, "0412", WHY, "old"),
        "a reason stands beside ewe 0412, but no decision: choose cull; draft; watch; keep, or write it as a comment"),
    "an action outside the list": (
        write(POLICY, "jaw", POLICY_TITLES["action"], "sell"),
        "Action of “Over- or undershot” says “sell”, so “watch” stands: choose cull; draft; watch; note"),
    "a limit that is no number": (
        write(POLICY, "jaw", LIMIT, "two"), "Limit of “Over- or undershot” says “two”, so “1” stands: write a number"),
    "a limit that is blank": (
        write(POLICY, "jaw", LIMIT, None), "Limit of “Over- or undershot” is blank, so “1” stands: write a number"),
    "a weight that is no number": (
        write(POLICY, "repeatability", LIMIT, "much"),
        "Limit of “Repeatability across seasons” is no number, so “0.28” stands: write a number"),
    "a rule that is gone": (
        without_rule, "the row of the rule “Over- or undershot” is gone: it stands as in the season workbook"),
    "a word beside no ewe": (
        below("cull"), "no ewe stands beside “cull”, which is not taken: write it in her row"),
    "a ewe twice": (
        all_of(write(EWE_DECISIONS, "0412", OWN_WORD, "cull"), twice),
        "ewe 0412 stands here and in row"),
}


@pytest.mark.parametrize("case", TOLD)
def test_what_cannot_be_taken_is_told_in_one_sentence_with_its_cell(case: str, summary: Path, tmp_path: Path) -> None:
    change, text = TOLD[case]
    decided = back(summary, tmp_path, change)
    (problem,) = decided.problems
    assert problem.text.startswith(text)
    assert str(problem).startswith(f"changed.xlsx:{problem.place.sheet}!") and problem.place.cell in str(problem)
    assert {} == decided.own_words


def test_a_row_with_nothing_but_a_space_is_passed_over(summary: Path, tmp_path: Path) -> None:
    assert () == back(summary, tmp_path, below(" ")).problems


def test_one_column_sorted_without_the_others_is_told_for_each_row_and_nothing_of_it_taken(summary: Path, tmp_path: Path) -> None:
    decided = back(summary, tmp_path, all_of(write(EWE_DECISIONS, "0412", OWN_WORD, "keep"), swap_names))
    assert 2 == len(decided.problems) and {} == decided.own_words
    assert all("as after sorting one column without the others" in problem.text for problem in decided.problems)
    assert 1 == sum("“keep” is not taken" in problem.text for problem in decided.problems)


def test_the_whole_table_sorted_changes_nothing(summary: Path, tmp_path: Path) -> None:
    decided = back(summary, tmp_path, all_of(write(EWE_DECISIONS, "0412", OWN_WORD, "keep"), swap_rows))
    assert (["0412"], ()) == (list(decided.own_words), decided.problems)


def test_ewes_the_season_does_not_have_are_told(summary: Path, tmp_path: Path) -> None:
    other = season(ewes=[row for row in EWES if row["ewe"] not in ("0412", "0415")])
    decided = back(summary, tmp_path, write(EWE_DECISIONS, "0412", OWN_WORD, "keep"), other)
    assert [
        "ewe 0412 is not in season.xlsx; “keep” is not taken: correct her number, or give the summary that was made from "
        "this season",
        "1 ewe of this summary, about whom nothing is written, is not in season.xlsx: was the summary made from another season?",
    ] == [problem.text for problem in decided.problems]


def test_what_is_no_summary_is_refused_in_a_sentence() -> None:
    with pytest.raises(Unreadable, match="is not a summary workbook: give the one that analyse wrote"):
        read_decisions(FOLDER / CLEAN, SEASON)


@pytest.mark.parametrize(("tab", "title"), [(EWE_DECISIONS, OWN_WORD), (EWE_DECISIONS, KEY), (POLICY, LIMIT)])
def test_a_heading_that_is_gone_is_told(tab: str, title: str, summary: Path) -> None:
    cells = open_cells(summary)
    lines = tuple((row, tuple(one for one in found if one.value != title)) for row, found in cells.tabs[tab])
    with pytest.raises(Unreadable, match=f"has no “{title}” among the headings of {tab}"):
        decisions_in(replace(cells, tabs={**cells.tabs, tab: lines}), SEASON)


def test_columns_put_between_and_moved_are_found(summary: Path, tmp_path: Path) -> None:
    def change(book: Any) -> None:
        write(EWE_DECISIONS, "0412", OWN_WORD, "draft")(book)
        book[EWE_DECISIONS].insert_cols(3, 2)

    assert [Verdict.DRAFT] == [word.verdict for word in back(summary, tmp_path, change).own_words.values()]




# Ewe lambs chosen on Replacements.

LAMBS: list[Row] = [{"ewe": "0412", "lamb_no": number, "tag": tag, "sex": Sex.EWE, "born": Born.ALIVE}
                    for number, tag in ((1, "26001"), (2, None), (3, "26003"))]
WITH_LAMBS = season(ewes=EWES, lambs=LAMBS)


@pytest.fixture(scope="module")
def with_lambs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lambs") / "summary.xlsx"
    write_summary(analyse(Reading(WITH_LAMBS, ())), path)
    return path


def keeping(words: Mapping[str, object], name: str = LAMB) -> Change:
    def change(book: Any) -> None:
        sheet = book[REPLACEMENTS]
        top, columns = top_of(sheet, LAMB)
        for row in range(top + 1, sheet.max_row + 1):
            if (word := words.get(str(sheet.cell(row, columns[LAMB]).value))) is not None:
                sheet.cell(row, columns[name]).value = word

    return change


def test_ewe_lambs_chosen_are_kept_by_name(with_lambs: Path, tmp_path: Path) -> None:
    decided = back(with_lambs, tmp_path, keeping({"0412-1": "yes", "0412-2": " Yes ", "0412-3": "no"}, KEEP), WITH_LAMBS)
    assert ({"0412-1", "0412-2"}, ()) == (set(decided.kept), decided.problems)


def test_nobody_chosen_keeps_nobody(with_lambs: Path, tmp_path: Path) -> None:
    assert () == back(with_lambs, tmp_path, keeping({}), WITH_LAMBS).kept


def test_what_is_neither_yes_nor_no_and_a_lamb_that_is_not_there_are_told(with_lambs: Path, tmp_path: Path) -> None:
    unsure = back(with_lambs, tmp_path, keeping({"0412-1": "perhaps"}, KEEP), WITH_LAMBS)
    assert () == unsure.kept
    (told,) = unsure.problems
    assert "neither yes nor no" in str(told) and "0412-1" in str(told)
    changed = all_of(keeping({"0412-1": "yes"}, KEEP), keeping({"0412-1": "0999-1"}))
    (told,) = back(with_lambs, tmp_path, changed, WITH_LAMBS).problems
    assert "no lamb 0999-1" in str(told)
