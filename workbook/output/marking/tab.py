"""The sheet "To correct" as a part of its own: its rows with a link to each cell and room for an answer."""

import re
from collections.abc import Sequence

from template_builder.files.look import (
    BODY,
    CELL_LINK,
    HEADING,
    HEADING_HEIGHT,
    RUST,
    STRONG,
    SUBTITLE,
    TITLE,
    TITLE_HEIGHT,
    WRAPPED,
    Style,
)
from template_builder.files.parsed import MAIN
from template_builder.files.room import height_needed
from template_builder.files.tab import padded
from template_builder.layout.addresses import letters
from template_builder.layout.sheets.to_correct import TO_CORRECT
from workbook.output.marking.looks import Looks
from workbook.output.marking.markup import escaped
from workbook.output.marking.rows import Row

TITLE_ROW, PURPOSE_ROW, HEADING_ROW, FIRST_ROW = 1, 2, 3, 4
PURPOSE = SUBTITLE.with_(wrap=True, valign="top")
PURPOSE_HEIGHT = 32.0
COLUMNS = {column.id: column for column in TO_CORRECT.own_columns}
LINK_COLUMN = list(COLUMNS).index("cell") + 1
_NOT_SHOWN = {"line": ' hidden="1"'}
PRINTED_ON_EVERY_PAGE = f"'{TO_CORRECT.title}'!${HEADING_ROW}:${HEADING_ROW}"
MOST_LINKS = 65_530  # that one sheet may hold
MOST_TEXT = 32_767
ONE_LINE = 0.5  # of a column's width: a shorter text is sure to fit on one line
CODE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # a spreadsheet takes _x000D_ for the character of that number
NOTHING = "No problem found."
_OPENS, _UNDER = ' collapsed="1"', ' hidden="1" outlineLevel="1"'  # a row with a + beside it, and one that this shows


def sheet_part(rows: Sequence[Row], title: str, looks: Looks) -> bytes:
    """The sheet's part, `title` on top. Looks it needs are added to the workbook's styles."""
    lines = [
        _line(TITLE_ROW, TITLE_HEIGHT, [(title, TITLE)], looks),
        _line(PURPOSE_ROW, PURPOSE_HEIGHT, [(TO_CORRECT.purpose, PURPOSE)], looks),
        _line(HEADING_ROW, HEADING_HEIGHT, [(column.title, HEADING) for column in COLUMNS.values()], looks),
        *(_row_line(number, row, looks) for number, row in enumerate(rows, start=FIRST_ROW)),
    ]
    if not rows:
        lines.append(_line(FIRST_ROW, TITLE_HEIGHT, [(NOTHING, padded(BODY))], looks))
    return _part("".join(lines), _links(rows)).encode("utf-8")


def _row_line(number: int, row: Row, looks: Looks) -> str:
    styles = {
        **dict.fromkeys(COLUMNS, WRAPPED), "severity": STRONG.with_(wrap=True, valign="top") if row.error else WRAPPED,
        "cell": CELL_LINK if row.link else WRAPPED, "answer": row.look,
    }
    cells = [(row.texts.get(id, ""), padded(style)) for id, style in styles.items()]
    long = [(text, column.characters, style) for (text, style), column in zip(cells, COLUMNS.values(), strict=True)
            if len(text) > column.characters * ONE_LINE]
    return _line(number, height_needed(long), cells, looks, _OPENS if row.opens else _UNDER if row.under else "")


def _line(number: int, height: float, cells: Sequence[tuple[str, Style]], looks: Looks, more: str = "") -> str:
    content = "".join(
        _cell(f"{letters(column)}{number}", text, looks.cell(style, as_text=number >= FIRST_ROW))
        for column, (text, style) in enumerate(cells, start=1)
    )
    return f'<row r="{number}" ht="{height:g}" customHeight="1"{more}>{content}</row>'


def _cell(address: str, text: str, look: int) -> str:
    if not text:
        return f'<c r="{address}" s="{look}"/>'
    shown = CODE.sub("_x005F_", escaped(text[:MOST_TEXT]))
    return f'<c r="{address}" s="{look}" t="inlineStr"><is><t xml:space="preserve">{shown}</t></is></c>'


def _links(rows: Sequence[Row]) -> str:
    linked = [(number, row.link) for number, row in enumerate(rows, start=FIRST_ROW) if row.link][:MOST_LINKS]
    column = letters(LINK_COLUMN)
    links = "".join(f'<hyperlink ref="{column}{number}" location="{escaped(link)}"/>' for number, link in linked)
    return f"<hyperlinks>{links}</hyperlinks>" if links else ""


def _part(lines: str, links: str) -> str:
    widths = "".join(
        f'<col min="{number}" max="{number}" width="{column.characters + 0.71:g}" customWidth="1"{_NOT_SHOWN.get(id, "")}/>'
        for number, (id, column) in enumerate(COLUMNS.items(), start=1)
    )
    last = letters(len(COLUMNS))
    return (
        f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<worksheet xmlns="{MAIN}">'
        f'<sheetPr><tabColor rgb="FF{RUST[1:]}"/><outlinePr summaryBelow="0"/><pageSetUpPr fitToPage="1"/></sheetPr>'
        f'<sheetViews><sheetView tabSelected="1" workbookViewId="0"><pane ySplit="{HEADING_ROW}" topLeftCell="A{FIRST_ROW}" '
        'activePane="bottomLeft" state="frozen"/><selection pane="bottomLeft"/></sheetView></sheetViews>'
        f'<sheetFormatPr defaultRowHeight="15" outlineLevelRow="1"/><cols>{widths}</cols><sheetData>{lines}</sheetData>'
        f'<mergeCells count="1"><mergeCell ref="A{PURPOSE_ROW}:{last}{PURPOSE_ROW}"/></mergeCells>{links}'
        '<pageMargins left="0.4" right="0.4" top="0.5" bottom="0.6" header="0.3" footer="0.3"/>'
        '<pageSetup paperSize="9" orientation="landscape" fitToHeight="0"/>'
        "<headerFooter><oddFooter>&amp;C&amp;8&amp;A&amp;R&amp;8Page &amp;P of &amp;N</oddFooter></headerFooter></worksheet>"
    )
