"""The rows of the sheet "To correct": one for each problem or habit, and closed up under a habit one for each of its cells."""

from collections.abc import Iterable, Mapping, Sequence
from string import digits
from typing import NamedTuple

from template_builder.files.look import FILL_IN, WRAPPED, Style
from template_builder.layout.addresses import letters
from template_builder.layout.sheets.to_correct import CORRECT_IT, TO_CORRECT, part_of
from workbook.output.alike import MOST_ALIKE, commonest, lines_of, more_like_it
from workbook.rules.answers import SAY_SO, SAY_SO_OF_ALL, answer_key, what_to_do, written_key
from workbook.rules.rule import Problem, Severity
from workbook.season.cells import Record

ANSWER, CLOSED = FILL_IN.with_(wrap=True, valign="top"), WRAPPED.with_(italic=True)
MOST_ALSO = 10


class Row(NamedTuple):
    """One row: its texts by column, the cell it links to, whether it is an error, and whether it opens or is closed up."""

    texts: Mapping[str, str]
    link: str
    error: bool = False
    opens: bool = False
    under: bool = False

    @property
    def look(self) -> Style:
        """How its answer looks: an error has no room for one."""
        return CLOSED if self.texts["answer"] == CORRECT_IT else ANSWER


def rows_for(problems: Sequence[Problem], answered: Iterable[Record], tabs: Iterable[str]) -> list[Row]:
    """A row for each problem or habit, then the problems answered here before, whose answers must not be lost.

    `answered` are the rows of this sheet in the file that is marked, `tabs` its sheets.
    """
    earlier = {written_key(row): row for row in answered if row.filled("answer")}
    there = set(tabs)
    groups = [[_problem_row(one, earlier.pop(answer_key(one), None), there) for one in line.problems]
              for line in lines_of(problems)]
    groups += _answered_alike([_answered_row(row, there) for row in earlier.values()])
    return [row for number, group in enumerate(groups, start=1) for row in _habit(group, str(number))]


def _problem_row(problem: Problem, before: Record | None, tabs: set[str]) -> Row:
    found, rule, place = problem.found, problem.rule, problem.place
    error = rule.severity is Severity.ERROR
    texts = {
        "rule": rule.id, "severity": rule.severity.value, "sheet": place.sheet, "cell": place.cell, "row_name": found.row_name,
        "value": found.value, "message": found.text + _also(problem), "fix": what_to_do(problem, beside=True),
        "answer": (before.text("answer") if before else None) or (CORRECT_IT if error else ""),
    }
    target = f"{letters(place.column or 1)}{place.row}" if place.row and place.sheet in tabs else ""
    return Row(texts, _link(place.sheet, target), error)


def _also(problem: Problem) -> str:
    """The other cells a problem is about."""
    also = problem.found.also
    more = f" and {len(also) - MOST_ALSO} more" if len(also) > MOST_ALSO else ""
    return f" (see also {', '.join(map(str, also[:MOST_ALSO]))}{more})" if also else ""


def _answered_row(row: Record, tabs: set[str]) -> Row:
    texts = {column.id: row.words(column.id) for column in TO_CORRECT.own_columns if column.id != "line"}
    sheet, cell = texts["sheet"], texts["cell"]
    return Row(texts, _link(sheet, cell if sheet in tabs and cell.isalnum() else ""))


def _link(sheet: str, cell: str) -> str:
    quoted = sheet.replace("'", "''")
    return f"'{quoted}'!{cell}" if cell else ""


def _answered_alike(rows: Sequence[Row]) -> list[list[Row]]:
    """Rows answered alike: more than MOST_ALIKE of one rule and column with the same words together."""
    groups: dict[tuple[str, ...], list[Row]] = {}
    for row in rows:
        key = (row.texts["rule"], row.texts["sheet"], row.texts["cell"].rstrip(digits), row.texts["answer"])
        groups.setdefault(key, []).append(row)
    return [part for group in groups.values() for part in ([group] if len(group) > MOST_ALIKE else [[row] for row in group])]


def _habit(rows: Sequence[Row], number: str) -> list[Row]:
    """A line for all of these, whose answer is the answer to each, and closed up under it they themselves; one stands alone."""
    if len(rows) == 1:
        return list(rows)
    first = rows[0]
    answers = {row.texts["answer"] for row in rows}
    answer = answers.pop() if len(answers) == 1 else CORRECT_IT if first.error else ""
    whole = {
        **first.texts, "row_name": f"{len(rows)} cells", "value": commonest(row.texts["value"] for row in rows),
        "message": f"{first.texts['message']} ({more_like_it([(row.texts['sheet'], row.texts['cell']) for row in rows])})",
        "fix": first.texts["fix"].replace(SAY_SO, SAY_SO_OF_ALL), "answer": answer, "line": number,
    }
    return [first._replace(texts=whole, opens=True), *(_under(row, answer, number) for row in rows)]


def _under(row: Row, answer: str, number: str) -> Row:
    """A cell of a habit. Its own answer stands in its row where it is another than that of the line, which goes for it too."""
    own = row.texts["answer"]
    return row._replace(
        texts={**row.texts, "answer": "" if own == answer != CORRECT_IT else own, "line": part_of(number)}, under=True)
