"""Looks added to a workbook's list of styles, always behind those it has, so that no cell's own look changes."""

from template_builder.files.look import FONT, RUST, STRAW, Style
from template_builder.files.parsed import MAIN
from workbook.output.marking.markup import Markup, ascii_bytes

# The order of the lists in the styles: ISO/IEC 29500-1, CT_Stylesheet.
ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors", "extLst",
)
TEXT_FORMAT_NUMBER = 49  # "@"
# What a cell looks like where the workbook says nothing; the second fill is one the standard keeps for itself.
PLAIN_STYLES = (
    f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<styleSheet xmlns="{MAIN}">'
    '<fonts count="1"><font><sz val="11"/><name val="Calibri"/><family val="2"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
).encode("ascii")
SIDES = ("left", "right", "top", "bottom")


class Looks:
    """The styles of a workbook, as bytes, growing. Asking twice for one look gives the same number."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self._prefix = Markup(data).prefix
        self._cells: dict[tuple[Style, bool], int] = {}

    def mark(self) -> int:
        """The differential format of a mark: straw ground, rust frame and bold type, so that it shows in grey too."""
        p = self._prefix
        sides = "".join(f'<{p}{side} style="thin"><{p}color rgb="{_argb(RUST)}"/></{p}{side}>' for side in SIDES)
        return self._number("dxfs", (
            f'<{p}dxf><{p}font><{p}b/><{p}color rgb="{_argb(RUST)}"/></{p}font>'
            f'<{p}fill><{p}patternFill patternType="solid"><{p}fgColor rgb="{_argb(STRAW)}"/><{p}bgColor rgb="{_argb(STRAW)}"/>'
            f"</{p}patternFill></{p}fill><{p}border>{sides}</{p}border></{p}dxf>"
        ))

    def cell(self, style: Style, *, as_text: bool = False) -> int:
        """The cell format for a style of the house."""
        if (style, as_text) not in self._cells:
            self._cells[style, as_text] = self._cell(style, as_text)
        return self._cells[style, as_text]

    def _cell(self, style: Style, as_text: bool) -> int:
        p = self._prefix
        fonts = f'{"<{p}b/>" if style.bold else ""}{"<{p}i/>" if style.italic else ""}{"<{p}u/>" if style.underline else ""}'
        font = self._number("fonts", (
            f'<{p}font>{fonts.format(p=p)}<{p}sz val="{style.size}"/><{p}color rgb="{_argb(style.colour)}"/>'
            f'<{p}name val="{FONT}"/><{p}family val="2"/></{p}font>'
        ))
        fill = self._fill(p, style.fill) if style.fill else 0
        border = self._border(p, style.border) if style.border else 0
        valign = {"vcenter": "center"}.get(style.valign, style.valign)
        horizontal = f'horizontal="{style.align}" ' if style.align else ""
        wrap = ' wrapText="1"' if style.wrap else ""
        indent = f' indent="{style.indent}"' if style.indent else ""
        alignment = f'<{p}alignment {horizontal}vertical="{valign}"{wrap}{indent}/>'
        number_format = TEXT_FORMAT_NUMBER if as_text else 0
        return self._number("cellXfs", (
            f'<{p}xf numFmtId="{number_format}" fontId="{font}" fillId="{fill}" borderId="{border}" xfId="0" '
            f'applyNumberFormat="1" applyFont="1" applyFill="1" applyBorder="1" applyAlignment="1">{alignment}</{p}xf>'
        ))

    def _fill(self, p: str, colour: str) -> int:
        return self._number("fills", (
            f'<{p}fill><{p}patternFill patternType="solid"><{p}fgColor rgb="{_argb(colour)}"/><{p}bgColor indexed="64"/>'
            f"</{p}patternFill></{p}fill>"
        ))

    def _border(self, p: str, colour: str) -> int:
        sides = "".join(f'<{p}{side} style="thin"><{p}color rgb="{_argb(colour)}"/></{p}{side}>' for side in SIDES)
        return self._number("borders", f"<{p}border>{sides}<{p}diagonal/></{p}border>")

    def _number(self, listed: str, text: str) -> int:
        """The place of this entry in a list of the styles, where it is added at the end if it is not there."""
        markup = Markup(self.data)
        node = markup.root.child(listed)
        if node is None:
            markup.insert(
                markup.place(ORDER, listed), f'<{markup.prefix}{listed} count="1">{text}</{markup.prefix}{listed}>',
            )
            self.data = markup.result()
            return 0
        entries = [markup.source(child) for child in node.children]
        if ascii_bytes(text) in entries:
            return entries.index(ascii_bytes(text))
        markup.append(node, text)
        markup.set_attribute(node, "count", str(len(entries) + 1))
        self.data = markup.result()
        return len(entries)


def _argb(colour: str) -> str:
    return f"FF{colour[1:]}"
