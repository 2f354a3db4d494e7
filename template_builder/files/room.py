"""How much room text takes: lines and heights of rows, and widths of columns, as spreadsheets draw them."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from math import ceil

from xlsxwriter.utility import xl_pixel_width

from template_builder.files.look import ROW_HEIGHT, SIZE_BODY, Style

LINE_HEIGHT = 1.36  # of the type size, in points
LINE_READ = 1.26  # the same where a row needs no air
TALLEST = 400.0  # a spreadsheet row ends at 409 points
LETTERS = 1.18  # letters of running text that fit in the width of one digit (measured with Calibri)
DIGIT_PIXELS, EDGE_PIXELS = 7, 5  # of a digit, and of the edges of a column (measured with Calibri)
SPACE_PIXELS, INDENT_PIXELS = 3, 9  # of a space, of one step of indent
AT_EDGES = 2  # pixels of the edges of a column that text runs into
PRINT_PIXELS = 965.0  # of a landscape page between its margins; LibreOffice draws a twentieth wider
BOLD = 1.08  # of a bold digit in the width of a plain one
BOLD_TEXT = 1.04  # of bold running text in the width of plain
SPARE = 0.5  # characters of a column that the cell's edges take
INDENT = 1.6  # characters that one step of indent takes
FREE_ROW = 15.0  # points of a row whose height nobody set


def in_pixels(characters: float) -> float:
    """How wide a column of so many characters is drawn."""
    return characters * DIGIT_PIXELS + EDGE_PIXELS


def letters_in(characters: float, style: Style) -> int:
    """How many letters stand in one line of a column of this width."""
    return int(characters * LETTERS * SIZE_BODY / style.size - INDENT * style.indent - SPARE)


@lru_cache(maxsize=65_536)
def lines_needed(text: str, characters: float, style: Style) -> int:
    """How many lines a text takes in a column of this width (in characters of the body type)."""
    drawn = style.size / SIZE_BODY * (BOLD_TEXT if style.bold else 1.0)
    room = (characters * DIGIT_PIXELS + AT_EDGES - INDENT_PIXELS * style.indent) / drawn
    if xl_pixel_width(text) <= room and "\n" not in text:
        return 1
    return sum(_wrapped(part, max(room, DIGIT_PIXELS)) for part in text.split("\n"))


def _wrapped(text: str, room: float) -> int:
    """How many lines of so many pixels the words of a text take; a word longer than a line goes on in the next."""
    lines, used = 1, 0.0
    for word in text.split():
        wide = xl_pixel_width(word)
        if used and used + SPACE_PIXELS + wide > room:
            lines, used = lines + 1, 0.0
        used += wide + (SPACE_PIXELS if used else 0.0)
        over = max(0, ceil(used / room) - 1)
        lines, used = lines + over, used - over * room
    return lines


def width_for(names: Iterable[str], least: float) -> float:
    """A column in which the longest of these stands whole, in bold on one line."""
    longest = max(map(len, names), default=0)
    return max(least, longest * BOLD + INDENT + SPARE)


def over_the_paper(widths: Sequence[float]) -> tuple[float, ...]:
    """Widths in one proportion that fill a landscape page."""
    more = (PRINT_PIXELS - EDGE_PIXELS * len(widths)) / (DIGIT_PIXELS * sum(widths))
    return tuple(width * more for width in widths)


def height_needed(cells: Iterable[tuple[str, float, Style]], line: float = LINE_READ) -> float:
    """The height in points of a row with these texts, widths and styles; texts that do not wrap take one line."""
    most = max((lines_needed(text, width, style) * style.size for text, width, style in cells if style.wrap), default=0)
    return min(max(ROW_HEIGHT, most * line + 3), TALLEST)
