"""Workbooks and seasons cut down: for what is the same in every row, and outside programs that take seconds for few rows."""

import re
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from template_builder.layout.columns import Row
from template_builder.live.blocks import BLOCKS, CELLS_TAB, TOP

KEPT_ROWS = 4  # of each hidden block: a column has one formula for all of its rows
WORKBOOK = "xl/workbook.xml"
_SHEET = re.compile(r'<sheet name="([^"]*)"')
_ROW = re.compile(r'<row r="(\d+)"(?:[^>]*/>|[^>]*>.*?</row>)', re.DOTALL)


def blocks_cut_down(path: Path) -> Path:
    """The season workbook in its place with the first rows alone of each hidden block of formulas; all else is as it was."""
    tabs = {block.tab for block in BLOCKS if block.tab.startswith("_")} - {CELLS_TAB}
    with zipfile.ZipFile(path) as file:
        parts = [(info, file.read(info)) for info in file.infolist()]
    titles = _SHEET.findall(next(content for info, content in parts if info.filename == WORKBOOK).decode("utf-8"))
    to_cut = {f"xl/worksheets/sheet{number}.xml" for number, title in enumerate(titles, start=1) if title in tabs}
    assert len(to_cut) == len(tabs)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        for info, content in parts:
            file.writestr(info, _cut(content) if info.filename in to_cut else content)
    return path


def _cut(sheet: bytes) -> bytes:
    text = sheet.decode("utf-8")
    return _ROW.sub(lambda row: row[0] if int(row[1]) < TOP + KEPT_ROWS else "", text).encode("utf-8")


def of_few_ewes(rows: Mapping[str, Sequence[Row]], number: int) -> dict[str, list[Row]]:
    """A season of the first so many ewes on Ewes: their rows, and those that name no ewe."""
    few = {row["ewe"] for row in rows["ewes"][:number]}
    tags = {row.get("tag") for row in rows["lambs"] if row.get("ewe") in few}

    def stays(row: Row) -> bool:
        if "animal" in row:
            return row["animal"] in few | tags
        return "ewe" not in row or row["ewe"] in few

    return {sheet: [row for row in own if stays(row)] for sheet, own in rows.items()}
