"""What a cell of a scanning list says: a tag, a count of lambs, a condition, a year; or why it cannot be read."""

import math
import re
from datetime import date, datetime, time
from typing import NamedTuple

from template_builder.layout.columns import Column, Kind
from template_builder.layout.count_words import MOST_LAMBS, count_of, doubt_of

Cell = str | int | float | date | time | None

THIN_END, FAT_END = 0.0, 5.0  # body condition scale
MOST_LAMBINGS = 15
MOST_TAG_CHARACTERS = 40
FIRST_BORN_YEAR = 1990
LAST_BORN_YEAR = 2099
EXACT_DIGITS = 15  # a spreadsheet keeps no more digits of a number than this
LOST_ZEROS = 6  # so many zeros at the end of so long a tag mean that digits were rounded away

_INVISIBLE = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u2060\ufeff"))
_ERRORS = frozenset({"#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!"})
_NOTHING_WRITTEN = frozenset({"", "?", "-", "\u2013", "\u2014", "n/a"})
_SHORTENED = re.compile(r"\d+[.,]\d+E\+?\d+|\d+E\+\d+", re.IGNORECASE)
_ROUNDED = re.compile(rf"\d{{{EXACT_DIGITS - LOST_ZEROS},}}0{{{LOST_ZEROS}}}")
_NUMBERED = re.compile(r"(?:x ?)?(\d+)(?:[.,]0+)?(?: ?x)?(?: ?(?:lambs?|f(?:o)?etus(?:es)?))?")

_NOT_SCANNED = frozenset({"", "?", "not scanned", "unscanned", "n/s", "not known", "unknown"})
_NO_COUNT: dict[str, str] = {
    "-": "may be empty or not scanned; write 0 if she is empty, or leave the cell blank if she was not scanned",
    "in lamb, il, pregnant, yes, y": "says in lamb but not how many; write the count, "
    "or leave the cell blank if the lambs were not counted",
}
_WHY_NO_COUNT = {word: why for words, why in _NO_COUNT.items() for word in words.split(", ")}


_YES = frozenset({"yes", "y", "true", "in lamb", "in-lamb", "il", "pregnant", "preg", "+"})
_NO = frozenset({"no", "n", "false", "not in lamb", "not pregnant", "empty", "barren", "dry", "open", "geld"})
_TICKS = frozenset({"x", "✓", "✔", "√", "☑", "/", "1", "*", "•", "tick"})
_UNTICKED = frozenset({"", "0", "-", "–", "—", "☐"})


class Refused(NamedTuple):
    """A cell that cannot be read: what is wrong with it and what to do, without the full stop."""

    reason: str


class Uncomputed(str):
    """A formula whose result is not stored in the workbook."""


def text_of(cell: Cell) -> str:
    """Give a cell as a person would read it, without the spaces around it."""
    if isinstance(cell, str):
        return (cell if cell.isascii() else cell.translate(_INVISIBLE)).strip()
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return str(cell).upper()
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    if isinstance(cell, datetime) and cell.time() == time():
        return cell.date().isoformat()
    if isinstance(cell, (date, time)):
        return cell.isoformat()
    return str(cell)


def fold(text: str) -> str:
    """Make words comparable: small letters, one ordinary space between words."""
    return " ".join(text.casefold().split())


def nothing_written(cell: Cell) -> bool:
    """Say whether an optional cell is blank or holds only a mark that stands for blank."""
    return fold(text_of(cell)) in _NOTHING_WRITTEN


def damaged(cell: Cell) -> Refused | None:
    """Say what a spreadsheet did to a cell that holds an error, or a formula without a result."""
    if isinstance(cell, Uncomputed):
        return Refused(f"the formula “{cell}” has no stored result; open the list in your spreadsheet program and save it")
    if text_of(cell) in _ERRORS:
        return Refused(f"“{text_of(cell)}” is an error of the spreadsheet; type the value itself")
    return None


def read_tag(cell: Cell) -> str | Refused:
    """Read an identifier as text, with its leading zeros; one that a spreadsheet has shortened is refused."""
    text = text_of(cell)
    if isinstance(cell, (bool, date, time)):
        return Refused(
            f"“{text}” is not a tag, the spreadsheet has turned it into a date, a time or a yes/no: "
            "format the column as Text and type the tag again"
        )
    if _is_shortened(cell, text):
        return Refused(
            f"the spreadsheet has shortened the tag to “{text}” and its last digits are lost; open the original "
            "file from the scanner or reader, format the column as Text before pasting or importing, and save again"
        )
    if len(text) > MOST_TAG_CHARACTERS:
        return Refused(f"this is longer than a tag can be ({MOST_TAG_CHARACTERS} characters); write the ewe's number")
    return text


def _is_shortened(cell: Cell, text: str) -> bool:
    if _SHORTENED.fullmatch(text) or _ROUNDED.fullmatch(text):
        return True
    return isinstance(cell, (int, float)) and not abs(cell) < 10**EXACT_DIGITS


def read_count(cell: Cell) -> int | None | Refused:
    """Read the lambs scanned from a number or a word: 0 is empty, None is not scanned."""
    text = text_of(cell)
    if isinstance(cell, (bool, date, time)):
        return Refused(f"“{text}” is not a count of lambs; write a number from 0 to {MOST_LAMBS}")
    word = fold(text).rstrip(".")
    if word in _NOT_SCANNED:
        return None
    if why := _WHY_NO_COUNT.get(word) or doubt_of(word):
        return Refused(f"“{text}” {why}")
    count = count_of(word)
    return _numbered_count(word, text) if count is None else count


def is_a_count(cell: Cell) -> bool:
    """Whether a cell says how many lambs, and nothing else."""
    return bool(text_of(cell)) and isinstance(read_count(cell), int)


def yes_or_no(cell: Cell) -> bool | None:
    """What a cell of yes and no says; None for anything else."""
    word = fold(text_of(cell)).rstrip(".")
    return True if word in _YES else False if word in _NO else None


def ticked(cell: Cell, lambs: int) -> bool | Refused:
    """Whether a column for ewes with so many lambs is ticked: a tick, a cross, yes, 1, or the lambs themselves."""
    text = text_of(cell)
    word = fold(text)
    if word in _UNTICKED or word in _NO:
        return False
    if word in _TICKS or word in _YES or word == str(lambs) or read_count(cell) == lambs:
        return True
    return Refused(f"“{text}” is not a tick; put an x in the column of her count, and only there")


def is_count_word(text: str) -> bool:
    """Say whether a text is a word for a count, such as "Triplets", which summaries below a list begin with."""
    word = fold(text).rstrip(".: ")
    return len(word) > 1 and count_of(word) is not None


def _numbered_count(word: str, text: str) -> int | Refused:
    number = _NUMBERED.fullmatch(word)
    if number is None:
        return Refused(
            f"“{text}” is not a count of lambs; write a number from 0 to {MOST_LAMBS}, "
            "or leave the cell blank if she was not scanned"
        )
    digits = number[1].lstrip("0") or "0"
    if len(digits) > 1 or int(digits) > MOST_LAMBS:
        return Refused(f"“{text}” is more lambs than a ewe carries (at most {MOST_LAMBS}); check the count")
    return int(digits)


def read_condition(cell: Cell) -> float | Refused:
    """Read a condition score, with a decimal point or a decimal comma."""
    score = _number(cell)
    if score is None or not THIN_END <= score <= FAT_END:
        return Refused(
            f"“{text_of(cell)}” is not a condition score; write a number from {THIN_END:g} (thin) to {FAT_END:g} (fat)"
        )
    return score


def read_lambings(cell: Cell) -> int | Refused:
    """Read how many times the ewe had lambed before."""
    number = _number(cell)
    if number is None or not number.is_integer() or not 0 <= number <= MOST_LAMBINGS:
        return Refused(f"“{text_of(cell)}” is not a number of lambings; write a whole number from 0 to {MOST_LAMBINGS}")
    return int(number)


def read_within(cell: Cell, column: Column) -> float | int | Refused:
    """Read a number of a column within its limits; a count is whole."""
    number = _number(cell)
    whole = column.kind is Kind.WHOLE
    if number is None or (whole and not number.is_integer()) or not column.holds(number):
        kind = "whole number" if whole else "number"
        return Refused(f"“{text_of(cell)}” is no {kind} from {column.limits()}; write one within that")
    return int(number) if whole else number


def read_born_year(cell: Cell, latest: int | None) -> int | Refused:
    """Read the year a ewe was born from four digits or the last two; `latest` is the year of the season."""
    last = latest or LAST_BORN_YEAR
    digits = re.fullmatch(r"'?(\d{2}|\d{4})(?:[.,]0+)?", text_of(cell))
    year = cell.year if isinstance(cell, date) else int(digits[1]) if digits else None
    if year is not None and digits and len(digits[1]) == 2:
        year += 1900 if year >= FIRST_BORN_YEAR % 100 else 2000
    if year is None or not FIRST_BORN_YEAR <= year <= last:
        return Refused(f"“{text_of(cell)}” is not a year a ewe was born in; write a year from {FIRST_BORN_YEAR} to {last}")
    return year


def _number(cell: Cell) -> float | None:
    if isinstance(cell, (bool, date, time)):
        return None
    text = text_of(cell).replace(",", ".")
    if not re.fullmatch(r"-?[0-9]+(\.[0-9]*)?|\.[0-9]+", text):
        return None
    number = float(text)
    return number if math.isfinite(number) else None
