"""The sheet "To correct" as a part of its own: one row a problem, with a link to its cell and room for an answer."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from template_builder.files.guard import MAIN
from template_builder.files.look import (
    BODY,
    CELL_LINK,
    FILL_IN,
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
from template_builder.files.tab import height_needed
from template_builder.layout.addresses import letters
from template_builder.layout.sheets.to_correct import CORRECT_IT, TO_CORRECT
from workbook.output.marking.looks import Looks
from workbook.output.marking.markup import escaped
from workbook.rules.answers import answer_key, what_to_do, written_key
from workbook.rules.rule import Problem, Severity
from workbook.season.cells import Record

TITLE_ROW, PURPOSE_ROW, HEADING_ROW, FIRST_ROW = 1, 2, 3, 4
PURPOSE = SUBTITLE.with_(wrap=True, valign="top")
PURPOSE_HEIGHT = 32.0
ANSWER, CLOSED = FILL_IN.with_(wrap=True, valign="top"), WRAPPED.with_(italic=True)
LINK_COLUMN = [column.id for column in TO_CORRECT.own_columns].index("cell") + 1
PRINTED_ON_EVERY_PAGE = f"'{TO_CORRECT.title}'!${HEADING_ROW}:${HEADING_ROW}"
MOST_LINKS = 65_530  # that one sheet may hold
MOST_TEXT = 32_767
MOST_ALSO = 10
ONE_LINE = 0.5  # of a column's width: a shorter text is sure to fit on one line
CODE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # a spreadsheet takes _x000D_ for the character of that number
NOTHING = "No problem found."


class Row(NamedTuple):
    """One row: its texts in the order of the columns, the look of the last, the cell it links to, whether it is an error."""

    texts: tuple[str, ...]
    look: Style
    link: str
    error: bool = False


def rows_for(problems: Sequence[Problem], answered: Iterable[Record], tabs: Iterable[str]) -> list[Row]:
    """A row for each problem, then the queries answered here before, whose answers must not be lost.

    `answered` are the rows of this sheet in the file that is marked, `tabs` its sheets.
    """
    earlier = {written_key(row): row for row in answered if row.filled("answer")}
    there = set(tabs)
    rows = []
    for problem in problems:
        before = earlier.pop(answer_key(problem), None)
        rows.append(_problem_row(problem, (before.text("answer") or "") if before else "", there))
    return rows + [_answered_row(row, there) for row in earlier.values()]


def _problem_row(problem: Problem, answer: str, tabs: set[str]) -> Row:
    found, rule, place = problem.found, problem.rule, problem.place
    error = rule.severity is Severity.ERROR
    texts = (
        rule.id, rule.severity.value, place.sheet, place.cell, found.row_name, found.value, found.text + _also(problem),
        what_to_do(problem, beside=True), answer or (CORRECT_IT if error else ""),
    )
    target = f"{letters(place.column or 1)}{place.row}" if place.row and place.sheet in tabs else ""
    return Row(texts, CLOSED if error and not answer else ANSWER, _link(place.sheet, target), error)


def _also(problem: Problem) -> str:
    """The other cells a problem is about."""
    also = problem.found.also
    more = f" and {len(also) - MOST_ALSO} more" if len(also) > MOST_ALSO else ""
    return f" (see also {', '.join(map(str, also[:MOST_ALSO]))}{more})" if also else ""


def _answered_row(row: Record, tabs: set[str]) -> Row:
    texts = tuple(row.text(column.id) or "" for column in TO_CORRECT.own_columns)
    sheet, cell = row.text("sheet") or "", row.text("cell") or ""
    return Row(texts, ANSWER, _link(sheet, cell if sheet in tabs and cell.isalnum() else ""))


def _link(sheet: str, cell: str) -> str:
    quoted = sheet.replace("'", "''")
    return f"'{quoted}'!{cell}" if cell else ""


def sheet_part(rows: Sequence[Row], title: str, looks: Looks) -> bytes:
    """The sheet's part, `title` on top. Looks it needs are added to the workbook's styles."""
    lines = [
        _line(TITLE_ROW, TITLE_HEIGHT, [(title, TITLE)], looks),
        _line(PURPOSE_ROW, PURPOSE_HEIGHT, [(TO_CORRECT.purpose, PURPOSE)], looks),
        _line(HEADING_ROW, HEADING_HEIGHT, [(column.title, HEADING) for column in TO_CORRECT.own_columns], looks),
        *(_row_line(number, row, looks) for number, row in enumerate(rows, start=FIRST_ROW)),
    ]
    if not rows:
        lines.append(_line(FIRST_ROW, TITLE_HEIGHT, [(NOTHING, BODY)], looks))
    return _part("".join(lines), _links(rows)).encode("utf-8")


def _row_line(number: int, row: Row, looks: Looks) -> str:
    styles = [WRAPPED] * len(row.texts)
    styles[1] = STRONG.with_(wrap=True, valign="top") if row.error else WRAPPED
    styles[LINK_COLUMN - 1] = CELL_LINK if row.link else WRAPPED
    styles[-1] = row.look
    widths = [column.characters for column in TO_CORRECT.own_columns]
    long = [cell for cell in zip(row.texts, widths, styles, strict=True) if len(cell[0]) > cell[1] * ONE_LINE]
    height = height_needed(long)
    return _line(number, height, list(zip(row.texts, styles, strict=True)), looks)


def _line(number: int, height: float, cells: Sequence[tuple[str, Style]], looks: Looks) -> str:
    content = "".join(
        _cell(f"{letters(column)}{number}", text, looks.cell(style, as_text=number >= FIRST_ROW))
        for column, (text, style) in enumerate(cells, start=1)
    )
    return f'<row r="{number}" ht="{height:g}" customHeight="1">{content}</row>'


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
    columns = TO_CORRECT.own_columns
    widths = "".join(
        f'<col min="{number}" max="{number}" width="{column.characters + 0.71:g}" customWidth="1"/>'
        for number, column in enumerate(columns, start=1)
    )
    last = letters(len(columns))
    return (
        f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<worksheet xmlns="{MAIN}">'
        f'<sheetPr><tabColor rgb="FF{RUST[1:]}"/><pageSetUpPr fitToPage="1"/></sheetPr>'
        f'<sheetViews><sheetView tabSelected="1" workbookViewId="0"><pane ySplit="{HEADING_ROW}" topLeftCell="A{FIRST_ROW}" '
        'activePane="bottomLeft" state="frozen"/><selection pane="bottomLeft"/></sheetView></sheetViews>'
        f'<sheetFormatPr defaultRowHeight="15"/><cols>{widths}</cols><sheetData>{lines}</sheetData>'
        f'<mergeCells count="1"><mergeCell ref="A{PURPOSE_ROW}:{last}{PURPOSE_ROW}"/></mergeCells>{links}'
        '<pageMargins left="0.4" right="0.4" top="0.5" bottom="0.6" header="0.3" footer="0.3"/>'
        '<pageSetup paperSize="9" orientation="landscape" fitToHeight="0"/>'
        "<headerFooter><oddFooter>&amp;C&amp;8&amp;A&amp;R&amp;8Page &amp;P of &amp;N</oddFooter></headerFooter></worksheet>"
    )
