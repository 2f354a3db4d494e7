"""How every page looks: one palette, one type scale, one set of cell styles.

The colours differ in lightness as well as hue, so that pages read in greyscale and for colour-blind people; nothing is
said by colour alone.
"""

from typing import NamedTuple

FONT = "Calibri"
SIZE_TITLE, SIZE_SECTION, SIZE_BODY, SIZE_SMALL = 16, 12, 11, 9
SIZE_CARD = 22  # the number on a pen card, read from the passage

INK = "#1D2B33"
INKS = tuple(f"#{0x1D2B33 + step:06X}" for step in range(24))  # one to the eye: see `beside`
QUIET = "#5A6B75"
PAPER = "#FFFFFF"
DEEP = "#1F4E5F"  # headings that people fill in
SLATE = "#8A9BA5"
MIST = "#E6EDF0"  # issued cells and banding
ASH = "#D3D8DB"  # finished
STRAW = "#F6EBCB"  # to look at
RUST = "#9C4A1A"
LINE = "#B9C4CA"
OCHRE = "#C98A2B"
CHART_SERIES = (DEEP, OCHRE, "#7FA6B5", "#9C4A1A", "#5A6B75")
CHART_PATTERNS = ("solid", "wide_upward_diagonal", "dark_horizontal", "small_grid", "light_vertical")

DATE_FORMAT = "d mmm yyyy"
AS_OF_FORMAT = '"As of "d mmm yyyy hh:mm'
MOMENT_FORMAT = "[<1]hh:mm;d mmm yyyy hh:mm"  # a time alone has no day, and must not be shown with that of 1900
AS_OF_DAY_FORMAT = '"As of "d mmm yyyy'
# Holds for a cell with a day and no hour: at midnight no hour was written, and none is shown.
DAY_ALONE = "AND(ISNUMBER({cell}),{cell}>=1,{cell}=INT({cell}))"
TEXT_FORMAT = "@"

ROW_HEIGHT = 18.0
HEADING_HEIGHT = 48.0
TITLE_HEIGHT = 26.0
PRINT_PAGE = 505.0  # points of rows that a landscape page holds, headings included
PRINT_ROW_HEIGHT = 25.5  # 9 mm: room for a pencil in a gloved hand
PRINT_CHARACTERS = 111.0  # the widest page that prints at full size on landscape A4


# Tabs of the summary: what the meeting reads, what it rests on, and the source rows.
TAB_READ, TAB_GROUND, TAB_ROWS = DEEP, SLATE, MIST
TAB_WRITE, TAB_SET_UP = OCHRE, SLATE  # of a season workbook: what is written during it, and what once
PROJECTED = 115  # per cent: a page shown on a wall is read from the back of the room

_THIN, _MIDDLE, _FINE = 1, 2, 7  # kinds of border, as the workbook writer numbers them


class Style(NamedTuple):
    """One cell style; the writer turns it into a format of the file."""

    bold: bool = False
    italic: bool = False
    size: int = SIZE_BODY
    colour: str = INK
    fill: str = ""
    number_format: str = ""
    align: str = ""
    valign: str = "vcenter"
    wrap: bool = False
    border: str = ""
    fine: bool = False
    indent: int = 0
    locked: bool = False
    pattern: int = 0
    quote_prefix: bool = False
    underline: bool = False
    rule_above: bool = False
    rotation: int = 0

    def with_(self, **changes: object) -> "Style":
        """The same style with some properties changed."""
        return self._replace(**changes)  # type: ignore[arg-type]  # names are checked by the tuple itself

    def as_format(self) -> dict[str, object]:
        """The properties as the workbook writer names them."""
        found: dict[str, object] = {
            "font_name": FONT, "font_size": self.size, "font_color": self.colour, "valign": self.valign,
            "locked": self.locked,
        }
        if self.fill:
            found["bg_color"] = self.fill
        if self.pattern:
            found |= {"pattern": self.pattern, "fg_color": LINE}
        if self.border:
            found |= {"border": _FINE if self.fine else _THIN, "border_color": self.border}
        if self.rule_above:
            found |= {"top": _THIN if self.fine else _MIDDLE, "top_color": INK}
        optional = {
            "bold": self.bold, "italic": self.italic, "num_format": self.number_format, "align": self.align,
            "text_wrap": self.wrap, "indent": self.indent, "quote_prefix": self.quote_prefix, "underline": int(self.underline),
            "rotation": self.rotation,
        }
        return found | {name: value for name, value in optional.items() if value}


TITLE = Style(bold=True, size=SIZE_TITLE, colour=DEEP)
SECTION = Style(bold=True, size=SIZE_SECTION, colour=DEEP)
SUBTITLE = Style(colour=QUIET, italic=True)
# Above the headings of a sheet to fill in: no lines between the cells, on screen or on paper.
SHEET_TITLE = SECTION.with_(fill=PAPER, border=PAPER)
SHEET_PURPOSE = SUBTITLE.with_(fill=PAPER, border=PAPER)
BODY = Style(border=LINE)
WRAPPED = Style(border=LINE, wrap=True, valign="top")
PLAIN = Style()
PROSE = Style(wrap=True, valign="top")
SMALL = Style(size=SIZE_SMALL, colour=QUIET)
HEADING = Style(bold=True, colour=PAPER, fill=DEEP, wrap=True, border=LINE, align="center")
HEADING_ISSUED = HEADING.with_(fill=SLATE, colour=INK)
WHOLE = BODY.with_(number_format="0", align="center")
TALLY = BODY.with_(number_format='#,##0;-#,##0;"-"', align="right")  # of a table of counts: nought is a dash
COUNT = TALLY.with_(align="center")
ONE_DECIMAL = BODY.with_(number_format="0.0")
DATE = BODY.with_(number_format=DATE_FORMAT, align="center")
MOMENT = BODY.with_(number_format=MOMENT_FORMAT, align="center")
STRONG = BODY.with_(bold=True)
FILL_IN = BODY.with_(border=DEEP)  # white with a dark frame, where no dark heading says that one writes here
WARNING = Style(bold=True, colour=RUST)
GRID = Style(border=LINE, fine=True)  # round every cell laid ready to fill in; gives way to the frame of a hint beside it
DONE = GRID.with_(fill=ASH)  # a row that is finished
TODAY = GRID.with_(fill=STRAW, bold=True)
LITTER = GRID.with_(rule_above=True)
HINT = Style(bold=True, fill=STRAW, border=RUST)  # a cell that asks for another look: framed, so that greyscale shows it
LINK = Style(colour=DEEP, underline=True)
CELL_LINK = WRAPPED.with_(colour=DEEP, underline=True)
TOTAL = WRAPPED.with_(bold=True, fill=MIST)


def beside(style: Style, number: int) -> Style:
    """A right-aligned style for the column of this number among others like it.

    LibreOffice forgets the space at the right edge of a cell drawn after another whose type is the same in every way. For cells
    that people fill in: the space in the number format (`tab.padded`) would hide there that a program took "4/5" for a date.
    """
    return style.with_(colour=INKS[number % len(INKS)])


# On paper: pencil on white, little toner, lines dark enough for a head torch. Nothing is typed into these pages.
RULED = Style(border=SLATE, locked=True)
RULED_SMALL = RULED.with_(size=SIZE_SMALL, wrap=True)
PAPER_HEADING = Style(bold=True, size=SIZE_SMALL, fill=MIST, border=SLATE, wrap=True, align="center", locked=True)
PAPER_TITLE = SECTION.with_(locked=True)
PAPER_NOTE = Style(size=SIZE_SMALL, wrap=True, locked=True)

# Verdicts differ by lightness and pattern, so that they are told apart in greyscale: the strictest is the darkest.
STRICTEST = WRAPPED.with_(bold=True, fill=DEEP, colour=PAPER)
STRICT = WRAPPED.with_(bold=True, fill=SLATE)
LOOK_AGAIN = WRAPPED.with_(bold=True, fill=PAPER, pattern=14)
FINE = WRAPPED
OPEN = WRAPPED.with_(italic=True, fill=MIST)
