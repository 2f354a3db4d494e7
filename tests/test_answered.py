"""Problems answered on the farm are answered in the copy too: the same rule at the same cell, and no other."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from seasons import FIRST_ROW, season
from test_identities import KEY

from template_builder.layout.choices import Born
from template_builder.layout.columns import Row, Value
from workbook.reading.season_file import Reading
from workbook.results.pipeline import check
from workbook.rules.answers import answer_to
from workbook.rules.rule import Problem, Severity
from workbook.season.cells import CellRef
from workbook.season.season import Season
from workbook.sharing.answered import ANSWERED, answers_in_copy
from workbook.sharing.identities import without_identities

COLUMNS = ("rule", "sheet", "row_name", "value")
ROWS: dict[str, Sequence[Row]] = {
    "season": [{"row_key": "year", "value": 2026}],
    "ewes": [{"ewe": "0412"}, {"ewe": "0415"}, {"ewe": "0415"}],
    "lambs": [{"ewe": ewe, "lamb_no": 1, "born": Born.ALIVE, "birth_weight": kg} for ewe, kg in (("0412", 7.6), ("0415", 7.6))],
}


def problems(of: Season) -> Sequence[Problem]:
    return check(Reading(of, ())).problems


def answered(of: Season, *those: Problem) -> Reading:
    """The season with these problems answered."""
    return with_answers(of, [{**dict(zip(COLUMNS, answer_to(one), strict=True)), "answer": "Zebedee looked"} for one in those])


def with_answers(of: Season, rows: Sequence[Row]) -> Reading:
    return Reading(replace(of, records={**of.records, "answers": season(answers=rows).rows("answers")}), ())


def copy_of(of: Season) -> Reading:
    return Reading(season(file="copy.xlsx", **without_identities(of, key=KEY).rows), ())


ORIGINAL = season(**ROWS)
HEAVY = [one for one in problems(ORIGINAL) if one.rule.id == "C116"]


def row(name: str, sheet: str = "Lambs") -> dict[str, Value]:
    return {"rule": "C116", "sheet": sheet, "row_name": name, "value": "7.6", "answer": ANSWERED}


def at(place: CellRef, name: str) -> Problem:
    """The same problem of another place."""
    return replace(HEAVY[0], found=replace(HEAVY[0].found, place=place, row_name=name))


@pytest.mark.parametrize(("which", "names"), [([], []), ([0], ["E001-1"]), ([1], ["E002-1"]), ([0, 1], ["E001-1", "E002-1"])])
def test_what_was_answered_and_nothing_else_is_answered_in_the_copy(which: Sequence[int], names: Sequence[str]) -> None:
    given = answered(ORIGINAL, *(HEAVY[one] for one in which))
    assert [row(name) for name in names] == answers_in_copy(given, copy_of(ORIGINAL))


def test_an_answer_in_the_copy_already_changes_nothing() -> None:
    again = with_answers(copy_of(ORIGINAL).season, [row("E001-1")])
    assert [row("E001-1")] == answers_in_copy(answered(ORIGINAL, HEAVY[0]), again)


def test_an_error_cannot_be_answered() -> None:
    errors = [one for one in problems(ORIGINAL) if one.rule.severity is Severity.ERROR and one.place.row]
    assert errors
    assert [] == answers_in_copy(answered(ORIGINAL, *errors), copy_of(ORIGINAL))


@pytest.mark.parametrize(("sheet", "column", "number"), [("season", "value", 1), ("left", "ewe", 0)])
def test_a_setting_is_known_by_what_it_is_and_an_animal_that_left_by_its_place(sheet: str, column: str, number: int) -> None:
    """The setting stands a row higher in the copy, which has no rows that nobody declared."""
    of = season(season=[{"row_key": "moon", "value": 1}, {"row_key": "gestation", "value": 150}], left=[{"ewe": "0412"}])
    there = copy_of(of).season
    asked, again = (at(found.rows(sheet)[where].at(column), "it") for found, where in ((of, number), (there, 0)))
    given = replace(answered(of, asked), problems=(asked,))
    assert [row("it", asked.place.sheet)] == answers_in_copy(given, Reading(there, (again,)))


def test_a_sheet_as_a_whole_is_known_by_its_name() -> None:
    asked, again = (at(CellRef(file, "Lambs", 0, 0), "") for file in ("season.xlsx", "copy.xlsx"))
    given = replace(answered(ORIGINAL, asked), problems=(asked,))
    assert [row("")] == answers_in_copy(given, replace(copy_of(ORIGINAL), problems=(again,)))


def test_rows_of_the_copy_are_counted_from_the_headings_where_one_went_out_empty() -> None:
    """The copy has nothing in its second row of lambs, so that its third is the second that is read."""
    rows = ROWS["lambs"]
    of = season(**{**ROWS, "lambs": [rows[0], {"notes": "see Zebedee"}, rows[1]]})
    last = [one for one in problems(of) if one.rule.id == "C116"][-1]
    there = copy_of(of)
    lambs = there.season.rows("lambs")
    assert ({}, FIRST_ROW + 2) == (lambs[1].values, lambs[2].row)
    read = replace(there, season=replace(there.season, records={**there.season.records, "lambs": (lambs[0], lambs[2])}))
    assert [row("E002-1")] == answers_in_copy(answered(of, last), read)
