"""Cells as a workbook stores them: shared strings, number formats, dates as day numbers. One pass over each part.

Reads what the Office Open XML standard (ECMA-376, part 1, chapter 18) says of worksheets, shared strings and styles, as far
as values go. Part names and sizes have been looked over before (guard.py).
"""

import math
import re
from collections.abc import Callable, Sequence
from datetime import datetime, time, timedelta
from enum import IntEnum
from typing import NamedTuple
from xml.parsers import expat

from template_builder.layout.words import LONGEST_TEXT, beginning, counted, fits

# Number formats that show a date or a time, by their number in the standard (18.8.30), locale variants included.
DATE_FORMATS = frozenset((*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))
PER_CENT_FORMATS = frozenset((9, 10))
_NOT_CODE = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.IGNORECASE)
_DATE_CODE = re.compile(r"[dmhysDMHYS]")
_NOUGHTS = re.compile("00+")

_PARTS_OF_FLOATS = re.compile("[.eE]")
EPOCH, EPOCH_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)
_DAYS_NOUGHT = (EPOCH.date(), EPOCH_1904.date())
_HALF_A_SECOND = timedelta(milliseconds=500)
FIRST_TRUE_DAY = 60  # day numbers below it are one off: the calendar of spreadsheets has a 29 Feb 1900
LAST_DAY = 2_958_465  # 31 Dec 9999
MILLISECONDS_A_DAY = 86_400_000
LAST_COLUMN, LAST_ROW = 16_384, 1_048_576


class Cut(str):
    """The beginning of a text that is longer than a cell can hold; `length` is that of the whole."""

    length = 0


class Cell(NamedTuple):
    """One cell that holds something. `formula` is its text where the value was computed, `error` where it is one."""

    column: int
    value: object
    formula: str = ""
    error: bool = False


class Shows(IntEnum):
    """What the number format of a cell shows a stored number as."""

    NUMBER, DATE, PER_CENT = range(3)


class Digits(int):
    """A number format of zeros alone: a whole number is shown with at least so many digits, as 412 in 0000 is 0412."""


Format = Shows | Digits


Line = tuple[int, tuple[Cell, ...]]

Start = Callable[[str, dict[str, str]], None]
End = Callable[[str], None]
Words = Callable[[str], object]


def shared_strings(data: bytes) -> list[str]:
    """The shared strings in order; runs of rich text joined, phonetic hints left out. Raises expat.ExpatError."""
    strings: list[str] = []
    text: list[str] = []
    phonetic = 0
    reading = False

    def start(tag: str, _attributes: dict[str, str]) -> None:
        nonlocal phonetic, reading
        name = tag.rpartition(":")[2]
        if name == "si":
            text.clear()
        elif name == "rPh":
            phonetic += 1
        reading = name == "t" and not phonetic

    def end(tag: str) -> None:
        nonlocal phonetic, reading
        name = tag.rpartition(":")[2]
        reading = False
        if name == "si":
            strings.append(text_of(unescaped("".join(text))))
        elif name == "rPh":
            phonetic -= 1

    def words(piece: str) -> None:
        if reading:
            text.append(piece)

    _parse(data, start, end, words)
    return strings


def styles_of(data: bytes) -> list[Format]:
    """For each cell style, what its number format shows. Raises expat.ExpatError."""
    codes: dict[str, str] = {}
    found: list[Format] = []
    inside = False

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal inside
        name = tag.rpartition(":")[2]
        if name == "numFmt":
            codes[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")
        elif name == "cellXfs":
            inside = True
        elif name == "xf" and inside:
            number = attributes.get("numFmtId", "0")
            found.append(shown_by(codes[number]) if number in codes else _standard(number))

    def end(tag: str) -> None:
        nonlocal inside
        if tag.rpartition(":")[2] == "cellXfs":
            inside = False

    _parse(data, start, end, None)
    return found


def _standard(number: str) -> Shows:
    """What a number format without a code of its own shows."""
    format = int(number) if number.isdecimal() else 0
    return Shows.DATE if format in DATE_FORMATS else Shows.PER_CENT if format in PER_CENT_FORMATS else Shows.NUMBER


def defined_names(data: bytes) -> dict[str, str]:
    """The defined names of the whole workbook and what they stand for, from its list of sheets. Raises expat.ExpatError."""
    names: dict[str, str] = {}
    text: list[str] = []
    name = ""

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal name
        if tag.rpartition(":")[2] == "definedName":
            name = "" if "localSheetId" in attributes else attributes.get("name", "")
            text.clear()

    def end(tag: str) -> None:
        if tag.rpartition(":")[2] == "definedName" and name:
            names[name] = "".join(text)

    _parse(data, start, end, text.append)
    return names


def shown_by(code: str) -> Format:
    """What a number format shows: a date where it has letters of dates outside quotes and colour names."""
    first = _NOT_CODE.sub("", code.split(";")[0])
    if first.casefold() != "general" and _DATE_CODE.search(first):
        return Shows.DATE
    if _NOUGHTS.fullmatch(first):
        return Digits(len(first))
    return Shows.PER_CENT if "%" in first else Shows.NUMBER


def lines(data: bytes, strings: Sequence[str], styles: Sequence[Format], epoch: datetime = EPOCH) -> tuple[Line, ...]:
    """Every row of a worksheet that holds something, from the bytes of its part. Raises expat.ExpatError.

    A number shown in per cent, or with zeros in front, is the text a person sees, such as "12%" or "0412": what it means
    rests on its column. A row or cell
    without its own number follows the one before, as the standard allows. ValueError or IndexError for one that lies outside
    any sheet or points at a text that is not there.
    """
    found: list[Line] = []
    row: list[Cell] = []
    columns: dict[str, int] = {}
    moments: dict[str, object] = {}
    pieces: list[str] = []
    here: dict[str, str] = {}  # what the tag of the cell says: its place, kind and style
    number = column = 0
    value = formula = ""
    names = _Names("")

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal number, column, here, value, formula, names
        if tag == names.cell:
            here, value, formula = attributes, "", ""
            column = _column(attributes.get("r"), column, columns)
        elif tag == names.row:
            number, column = _row_number(attributes["r"]) if "r" in attributes else number + 1, 0
        elif not number and tag.endswith("worksheet"):
            names = _Names(tag.removesuffix("worksheet"))
        pieces.clear()

    def end(tag: str) -> None:
        nonlocal value, formula
        if tag == names.value:
            value = "".join(pieces)
        elif tag == names.cell:
            if value or formula:
                row.append(cell())
        elif tag == names.row:
            if row:
                found.append((number, tuple(row)))
                row.clear()
        elif tag == names.formula:
            formula = "=" + "".join(pieces)
        elif tag == names.text:
            value += "".join(pieces)
        pieces.clear()

    def cell() -> Cell:
        kind = here.get("t", "n")
        if not value:  # a formula that gives no text, or one that was never computed
            return Cell(column, "" if kind == "str" else None, formula)
        if kind == "s":
            return Cell(column, strings[_place(value)])
        if kind == "n":
            shows = _style(styles, here.get("s") or "0")
            if not shows:
                return Cell(column, number_of(value), formula)
            if shows is Shows.PER_CENT:
                return Cell(column, in_per_cent(number_of(value)), formula)
            if isinstance(shows, Digits):
                return Cell(column, with_digits(number_of(value), shows), formula)
            if value not in moments:  # the same few days come again and again
                days = number_of(value)
                moments[value] = days if isinstance(days, str) else moment(days, epoch)
            return Cell(column, moments[value], formula)
        return _other_cell(column, kind, value, formula)

    _parse(data, start, end, pieces.append)
    return tuple(found)


def _style(styles: Sequence[Format], index: str) -> Format:
    place = int(index)
    return styles[place] if 0 <= place < len(styles) else Shows.NUMBER


def _row_number(text: str) -> int:
    row = int(text)
    if not 1 <= row <= LAST_ROW:
        raise ValueError(f"there is no row {text}")
    return row


class _Names:
    """The tags of a worksheet under the prefix that its first tag has, if any."""

    def __init__(self, prefix: str) -> None:
        self.row, self.cell, self.value, self.formula, self.text = (prefix + name for name in ("row", "c", "v", "f", "t"))


def _column(reference: str | None, before: int, columns: dict[str, int]) -> int:
    """The column a cell stands in, by its reference, else the next one."""
    if not reference:
        return before + 1
    letters = reference.rstrip("0123456789")
    return columns.get(letters) or columns.setdefault(letters, column_number(letters))


def _other_cell(column: int, kind: str, value: str, formula: str) -> Cell:
    """A cell that is neither a number nor a shared string."""
    if kind == "b":
        return Cell(column, value == "1", formula)
    if kind == "d":
        return Cell(column, written_moment(value), formula)
    return Cell(column, text_of(unescaped(value)), formula, kind == "e")


def text_of(whole: str) -> str:
    """A text as far as a cell can hold it."""
    if fits(whole):
        return whole
    text = Cut(beginning(whole, LONGEST_TEXT))
    text.length = counted(whole)
    return text


def _place(text: str) -> int:
    """The place of a text among the shared ones."""
    place = int(text)
    if place < 0:
        raise IndexError(f"there is no text {text}")
    return place


def number_of(text: str) -> int | float | str:
    """A stored number: whole where it is written so. What is no number, or one beyond all bounds, stays the text it is."""
    try:
        found = float(text)
    except ValueError:
        return text
    if not math.isfinite(found):
        return text
    return found if _PARTS_OF_FLOATS.search(text) else int(text)


def in_per_cent(number: int | float | str) -> str:
    """A stored share as a person sees it: 0.125 is "12.5%"; what is no number stays the text it is."""
    return number if isinstance(number, str) else f"{100 * number:.10g}%"


def with_digits(number: int | float | str, digits: int) -> int | float | str:
    """A whole number as a person sees it where its format keeps zeros in front; any other stays as it is."""
    return f"{number:0{digits}d}" if isinstance(number, int) and number >= 0 else number


def written_moment(text: str) -> datetime | time | str:
    """A date stored as text (ISO 8601), as the clock on the wall shows it; what is no date stays the text it is.

    Some programs write a time alone as a time of the day that their day numbers begin with: it is a time here too. A quarter
    past six may be stored as a millisecond before it: the nearest second is meant.
    """
    try:
        found = datetime.fromisoformat(text.strip()).replace(tzinfo=None)
        found = (found + _HALF_A_SECOND).replace(microsecond=0)
    except (ValueError, OverflowError):
        return text
    return found.time() if found.date() in _DAYS_NOUGHT else found


def moment(days: int | float, epoch: datetime = EPOCH) -> object:
    """A day number as a date and time; below one day a time; a number no calendar holds stays a number."""
    if not 0 <= days <= LAST_DAY:
        return days
    milliseconds = round(days * MILLISECONDS_A_DAY)
    if days < 1:
        return (datetime.min + timedelta(milliseconds=milliseconds)).time() if milliseconds < MILLISECONDS_A_DAY else time()
    if milliseconds >= (LAST_DAY + 1) * MILLISECONDS_A_DAY:
        return days
    if epoch == EPOCH and days < FIRST_TRUE_DAY:
        milliseconds += MILLISECONDS_A_DAY
    return epoch + timedelta(milliseconds=milliseconds)


def column_number(letters: str) -> int:
    """Letters as a column number: A is 1, AA is 27. ValueError for what names no column of a sheet."""
    found = 0
    for letter in letters:
        if not "A" <= letter <= "Z" or found > LAST_COLUMN:
            raise ValueError(f"there is no column {letters[:8]}")
        found = found * 26 + ord(letter) - ord("A") + 1
    if not 1 <= found <= LAST_COLUMN:
        raise ValueError(f"there is no column {letters[:8]}")
    return found


_ESCAPED = re.compile(r"_x((?![dD][89a-fA-F])[0-9A-Fa-f]{4})_")  # half of a pair of characters is none


def unescaped(text: str) -> str:
    """Text with characters that XML cannot hold (written as _x000D_) put back."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text


def _parse(data: bytes, start: Start, end: End, words: Words | None) -> None:
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    if words is not None:
        parser.CharacterDataHandler = words
    parser.Parse(data, True)

