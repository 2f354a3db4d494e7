"""What a mark says and when it goes away: a test of the value that is wrong, and a line for the note."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping

from template_builder.layout.addresses import letters
from workbook.output.marking.stored import Place, Stored
from workbook.rules.rule import Problem

NOTE_START = "To correct:"
OWN_TEST = 'N("to correct")'  # N of a text is 0, so it changes nothing; marks are known by it
LONGEST_QUOTED = 255  # characters of a text in a formula
DIGITS = 15  # that a spreadsheet tells apart
_NOT_QUOTABLE = re.compile("[\x00-\x1f\U00010000-\U0010ffff]|_x[0-9A-Fa-f]{4}_")
_SPACE = re.compile(r"\s+")


def note_line(problem: Problem) -> str:
    """A problem as one line of a note, with what to do."""
    message = _SPACE.sub(" ", problem.found.text).strip().rstrip(".")
    return f"{NOTE_START} {message}. {_SPACE.sub(' ', problem.fix).strip()}"


def notes_by_sheet(problems: Iterable[Problem]) -> Mapping[str, Mapping[Place, tuple[str, ...]]]:
    """The lines of each cell's note, by sheet. Problems of a row, a sheet or the file are no cell's."""
    found: dict[str, dict[Place, tuple[str, ...]]] = defaultdict(dict)
    for problem in problems:
        place = problem.place
        if place.row and place.column:
            lines = found[place.sheet].get((place.row, place.column), ())
            found[place.sheet][place.row, place.column] = (*lines, note_line(problem))
    return found


def mark_test(place: Place, stored: Stored | None) -> str:
    """The formula of a cell's mark: true as long as the cell holds what it holds now."""
    row, column = place
    return f"AND({OWN_TEST}=0,{_holds(f'{letters(column)}{row}', stored)})"


def _holds(cell: str, stored: Stored | None) -> str:
    match stored:
        case None | Stored("str", ""):
            return f"LEN(TRIM({cell}))=0"
        case Stored("n", text):
            number = f"{float(text):.{DIGITS}g}".upper()
            return f"{cell}={number}" if float(text) else f"ISNUMBER({cell}),{cell}=0"  # a blank cell equals 0 too
        case Stored("b", text):
            return f"{cell}={'TRUE' if text in ('1', 'true') else 'FALSE'}"
        case Stored("e", _):
            return f"ISERROR({cell})"
        case Stored("str", text) if not text.strip():
            return f"LEN(TRIM({cell}))=0"
        case Stored("str", text) if not _NOT_QUOTABLE.search(text):
            if len(text) <= LONGEST_QUOTED:
                return f"{cell}={_quoted(text)}"
            return f"LEFT({cell},{LONGEST_QUOTED})={_quoted(text[:LONGEST_QUOTED])}"
        case _:
            return "TRUE"  # cannot be quoted in a formula: the mark stays until the file is checked again


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"'


def is_own_test(formula: str) -> bool:
    """Whether a rule of a file is a mark made by this program, however a spreadsheet has written it back."""
    return OWN_TEST.casefold() in formula.casefold()
