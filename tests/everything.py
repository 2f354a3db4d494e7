"""One small workbook with one of everything people's files hold, and the forms in which other programs write the same."""

import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping
from datetime import datetime
from io import BytesIO
from pathlib import Path

import xlsxwriter

EWES, LAMBS = "Ewes & rams", "Lambs"
NOTED = "C6"  # the cell with a note of the person's own
LONG = "long text " * 30
WORDS = 'said "yes", then <no> & hid £5'


def everything(path: Path) -> Path:
    """Values of every kind, formulas, notes, conditional formats old and new, tables, charts, a picture and the rest."""
    with xlsxwriter.Workbook(str(path)) as book:
        ewes, lambs = book.add_worksheet(EWES), book.add_worksheet(LAMBS)
        _cells(book, ewes)
        _features(book, ewes)
        lambs.write_string("A1", "plain")
        lambs.write_number("B2", 61.5)
        chart = book.add_chart({"type": "column"})
        chart.add_series({"values": [EWES, 1, 1, 5, 1]})
        ewes.insert_chart("K20", chart)
        book.add_chartsheet("Chart").set_chart(_chart(book))
        book.add_worksheet("_hidden").very_hidden()
        book.define_name("ewe_numbers", f"='{EWES}'!$A$2:$A$6")
        book.set_custom_property("layout", 1)
    return path


def _chart(book: xlsxwriter.Workbook):  # type: ignore[no-untyped-def]  # xlsxwriter has no types
    chart = book.add_chart({"type": "line"})
    chart.add_series({"values": [LAMBS, 0, 1, 1, 1]})
    return chart


def _cells(book: xlsxwriter.Workbook, ewes) -> None:  # type: ignore[no-untyped-def]  # xlsxwriter has no types
    ewes.write_row("A1", ["Ewe", "Scanned", "Written", "Lambed", "Sum"])
    for row in range(1, 6):
        ewes.write_string(row, 0, f"04{row:02}", book.add_format({"num_format": "@", "locked": False}))
        ewes.write_number(row, 1, row - 1)
        ewes.write_datetime(row, 3, datetime(2026, 3, row, 6, 30), book.add_format({"num_format": "d mmm yyyy hh:mm"}))
        ewes.write_formula(row, 4, f"=B{row + 1}*2", None, (row - 1) * 2)
    for cell, text in (("C2", "12/3"), ("C3", LONG), ("C4", WORDS), ("C5", "two\nlines"), ("C6", "with a note")):
        ewes.write_string(cell, text)
    ewes.write_boolean("F2", True)
    ewes.write_formula("F3", "=1/0", None, "#DIV/0!")
    ewes.write_blank("F4", None, book.add_format({"bg_color": "#EEEEEE"}))
    ewes.write_rich_string("G2", "some ", book.add_format({"bold": True}), "bold")


def _features(book: xlsxwriter.Workbook, ewes) -> None:  # type: ignore[no-untyped-def]  # xlsxwriter has no types
    ewes.write_comment(NOTED, "ask the vet", {"author": "Farmer"})
    ewes.write_comment("A3", "limps", {"visible": True})
    ewes.data_validation("B2:B6", {"validate": "integer", "criteria": "between", "minimum": 0, "maximum": 6})
    ewes.data_validation("G3:G6", {"validate": "list", "source": ["yes", "no"], "input_message": "yes or no"})
    ewes.conditional_format("B2:B6", {"type": "cell", "criteria": ">", "value": 3, "format": book.add_format({"bold": True})})
    ewes.conditional_format("A2:A6", {"type": "formula", "criteria": "=$B2=0", "format": book.add_format({"italic": True})})
    ewes.conditional_format("E2:E6", {"type": "data_bar", "data_bar_2010": True})
    ewes.add_table("I2:J5", {"name": "table_pens", "columns": [{"header": "Pen"}, {"header": "Room"}]})
    ewes.add_sparkline("H2", {"range": f"'{EWES}'!B2:B6"})
    ewes.insert_image("K2", "dot.png", {"image_data": BytesIO(png())})
    ewes.insert_textbox("K8", "mind the gate")
    ewes.write_url("G7", f"internal:'{LAMBS}'!A1", string="lambs")
    ewes.merge_range("A9:C9", "merged")
    ewes.protect("", {"sort": True})
    ewes.freeze_panes(1, 1)
    ewes.set_column("B:B", 14)
    ewes.set_row(7, 30, None, {"hidden": True})
    ewes.set_footer("&CPage &P")
    ewes.set_h_pagebreaks([20])
    ewes.ignore_errors({"number_stored_as_text": "A2:A6"})
    ewes.set_tab_color("#1F4E5F")


def png() -> bytes:
    """A picture of one grey dot: PNG specification, sections 5 and 11."""
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">2I5B", 1, 1, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0\x80")) + chunk(b"IEND", b"")


def rewritten(path: Path, target: Path, changes: Mapping[str, Callable[[bytes], bytes]]) -> Path:
    """The same workbook with some parts changed; a key that ends in / means every part of that folder."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            for part, change in changes.items():
                if name == part or (part.endswith("/") and name.rpartition("/")[0] + "/" == part):
                    data = change(data)
            new.writestr(name, data)
    return target


def prefixed(data: bytes) -> bytes:
    """A part with every element of the main namespace written with a prefix, as some programs do."""
    named = re.sub(rb"<(/?)([A-Za-z]\w*)(?=[\s/>])", rb"<\1x:\2", data)
    return named.replace(b' xmlns="', b' xmlns:x="', 1)


def in_utf16(data: bytes) -> bytes:
    """A part in UTF-16."""
    return data.decode("utf-8").replace('encoding="UTF-8"', 'encoding="UTF-16"').encode("utf-16")


def without_addresses(data: bytes) -> bytes:
    """A sheet whose rows and cells do not say where they stand, where that can be counted."""
    return re.sub(rb'<(row|c) r="[A-Z]*\d+"', rb"<\1", data)
