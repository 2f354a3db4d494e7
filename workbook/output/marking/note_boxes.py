"""The boxes that notes are shown in: an old drawing format (VML) beside each sheet, one shape a note."""

import re
import textwrap
from collections.abc import Mapping

from workbook.output.marking.markup import Markup, Node
from workbook.output.marking.stored import Place

SPACES = {
    "v": "urn:schemas-microsoft-com:vml", "o": "urn:schemas-microsoft-com:office:office",
    "x": "urn:schemas-microsoft-com:office:excel",
}
SHAPE, CLIENT = f"{SPACES['v']} shape", f"{SPACES['x']} ClientData"
DECLARED = " ".join(f'xmlns:{prefix}="{space}"' for prefix, space in SPACES.items())
SHAPE_TYPE = "_x0000_t202"
SHAPE_TYPE_TEXT = (
    f'<v:shapetype {DECLARED} id="{SHAPE_TYPE}" coordsize="21600,21600" o:spt="202" path="m,l,21600r21600,l21600,xe">'
    '<v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/></v:shapetype>'
)
EMPTY_DRAWING = (
    f'<xml {DECLARED}><o:shapelayout v:ext="edit"><o:idmap v:ext="edit" data="1"/></o:shapelayout></xml>'
)
FIRST_NUMBER = 1025  # shapes count from here: 1024 to a block
NUMBER = re.compile(r"_x0000_s(\d+)")
UNCLOSED_BREAK = b"<br>"  # some programs write it so in the texts of buttons, which is no XML
BOX_WIDTH, BOX_COLUMNS, CHARACTERS_A_LINE = 220, 3, 34
LINE_POINTS, ROW_POINTS, LEAST_ROWS = 13, 18, 3


def set_boxes(data: bytes, added: Mapping[Place, tuple[str, ...]], removed: frozenset[Place]) -> bytes:
    """The drawing with boxes for new notes and without those of notes that are gone."""
    drawing = Markup(data.replace(UNCLOSED_BREAK, b" " * len(UNCLOSED_BREAK)))
    drawing.data = data
    gone = {shape for shape in drawing.root.walk() if shape.name == SHAPE and _note_of(shape) in removed}
    for shape in gone:
        drawing.remove(shape)
    ids = (node.attributes.get("id", "") for node in drawing.root.walk() if node not in gone)
    number = max([FIRST_NUMBER - 1, *(int(found[1]) for id in ids if (found := NUMBER.fullmatch(id)))])
    boxes = [] if SHAPE_TYPE.encode("ascii") in data or not added else [SHAPE_TYPE_TEXT]
    boxes += [_box(place, lines, number + count) for count, (place, lines) in enumerate(sorted(added.items()), start=1)]
    drawing.append(drawing.root, "".join(boxes))
    return drawing.result()


def _note_of(shape: Node) -> Place | None:
    """The cell whose note a shape shows; None for buttons, boxes to tick and the like."""
    client = shape.child(CLIENT)
    if client is None or client.attributes.get("ObjectType") != "Note":
        return None
    row, column = client.child(f"{SPACES['x']} Row"), client.child(f"{SPACES['x']} Column")
    return (int(row.text) + 1, int(column.text) + 1) if row and column else None


def _box(place: Place, lines: tuple[str, ...], number: int) -> str:
    row, column = place[0] - 1, place[1] - 1
    rows_of_text = sum(len(textwrap.wrap(line, CHARACTERS_A_LINE)) for line in lines) + 1
    rows = max(LEAST_ROWS, -(-rows_of_text * LINE_POINTS // ROW_POINTS))
    style = (
        f"position:absolute;margin-left:60pt;margin-top:2pt;width:{BOX_WIDTH}pt;height:{rows * ROW_POINTS}pt;"
        f"z-index:{number - FIRST_NUMBER + 1};visibility:hidden"
    )
    anchor = f"{column + 1}, 15, {row}, 2, {column + 1 + BOX_COLUMNS}, 31, {row + rows}, 4"
    return (
        f'<v:shape {DECLARED} id="_x0000_s{number}" type="#{SHAPE_TYPE}" style="{style}" fillcolor="#ffffe1" '
        'o:insetmode="auto"><v:fill color2="#ffffe1"/><v:shadow on="t" color="black" obscured="t"/>'
        '<v:path o:connecttype="none"/><v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox>'
        f'<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/><x:Anchor>{anchor}</x:Anchor>'
        f"<x:AutoFill>False</x:AutoFill><x:Row>{row}</x:Row><x:Column>{column}</x:Column></x:ClientData></v:shape>"
    )
