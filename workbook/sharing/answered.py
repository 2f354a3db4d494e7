"""Problems answered on the farm stay answered in the shared copy, in this program's own words."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from template_builder.layout.columns import Row
from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.sheets.to_correct import TO_CORRECT
from template_builder.layout.whole import FIRST_ROW, SHEET
from workbook.reading.season_file import Reading
from workbook.results.pipeline import check
from workbook.rules.answers import answer_key, answer_to, answered
from workbook.rules.rule import Problem, Severity
from workbook.season.season import Season

ANSWERED = "right as written, as answered on the farm"


class _Spot(NamedTuple):
    """Where a problem is, whichever of the two workbooks it is in: the row by its hidden key on a sheet of fixed rows, else by
    its number among the records; None for a whole sheet."""

    rule: str
    sheet: str
    row: int | str | None
    column: str


def answers_in_copy(original: Reading, copy: Reading) -> list[Row]:
    """Rows for Answers of the shared copy: problems there at cells where the original has the same, and somebody answered it.

    The words are those of the copy, so that nothing of the original comes with them.
    """
    given = answered(original.season)
    asked = [problem for problem in _unanswered(original) if problem.rule.severity is not Severity.ERROR
             and answer_key(problem) in given]
    spots = set(_spots(original.season, asked, laid_anew=False))
    there = _unanswered(copy)
    found = (answer_to(problem) for problem, spot in zip(there, _spots(copy.season, there, laid_anew=True), strict=True)
             if spot in spots)
    columns = ("rule", "sheet", "row_name", "value")
    return [{**dict(zip(columns, answer, strict=True)), "answer": ANSWERED} for answer in dict.fromkeys(found)]


def _unanswered(reading: Reading) -> Sequence[Problem]:
    """All problems, whether they have been answered or not."""
    records = {id: rows for id, rows in reading.season.records.items() if id not in (ANSWERS.id, TO_CORRECT.id)}
    return check(replace(reading, season=replace(reading.season, records=records))).problems


def _spots(season: Season, problems: Sequence[Problem], *, laid_anew: bool) -> Iterator[_Spot]:
    """Where each problem is. In a copy `laid_anew` the records stand row by row under the headings, as they were met."""
    rows = {(row.tab, row.row): (id, number, row) for id, those in season.records.items() for number, row in enumerate(those)}
    for problem in problems:
        place = problem.place
        found = rows.get((place.sheet, place.row))
        if found is None:
            yield _Spot(problem.rule.id, place.sheet, None, "")
            continue
        id, number, row = found
        columns = {place: column for column, place in row.places.items()}
        by_number = row.row - FIRST_ROW if laid_anew else number
        fixed = id in SHEET and SHEET[id].fixed_rows
        yield _Spot(problem.rule.id, id, row.key if fixed else by_number, columns.get(place.column, ""))
