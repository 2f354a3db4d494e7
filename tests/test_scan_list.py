"""A scanning list in any shape gives rows, and every line that is not a row is named with its reason."""

import csv
import io
import zipfile
from dataclasses import fields
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from examples import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from template_builder.files.guard import Unreadable
from template_builder.files.told import Told
from template_builder.scan.by_ewe import (
    HeadingUse,
    ScanList,
    ScanListError,
    ScanRow,
    Unplaced,
    parse_columns_option,
    read_scan_list,
)
from template_builder.scan.columns import SCAN_COLUMNS, squash
from template_builder.scan.ewe_columns import EWE_COLUMNS
from template_builder.scan.season_rows import Mating, ewe_row

PER_RUN = settings(
    max_examples=examples(60), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


def from_text(folder: Path, text: str, encoding: str = "utf-8", **options: Any) -> ScanList:
    path = folder / "scan.csv"
    path.write_bytes(text.encode(encoding))
    return read_scan_list(path, **options)


def from_sheet(folder: Path, *rows: list[object], number_format: dict[str, str] | None = None) -> ScanList:
    book = Workbook()
    sheet = book.create_sheet("Scan", 0)
    for row in rows:
        sheet.append(row)
    for cell, wanted in (number_format or {}).items():
        sheet[cell].number_format = wanted
    path = folder / "scan.xlsx"
    book.save(path)
    return read_scan_list(path, year=2026)


def one_cell(folder: Path, heading: str, value: str, **options: Any) -> ScanList:
    """A list of one ewe scanned with two, with one cell more."""
    return from_text(folder, f"Ewe\tScanned\t{heading}\n0412\t2\t{value}\n", **options)


PLAIN = (ScanRow(2, "0412", 2), ScanRow(3, "0413", 0))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_and_encodings(tmp_path: Path, encoding: str, mark: str, end: str) -> None:
    lines = ["Ewe,Scanned,Notes", "0412,2,née Bröd", "0413,0,"]
    listed = from_text(tmp_path, end.join(lines).replace(",", mark), encoding)
    assert (ScanRow(2, "0412", 2, notes="née Bröd"), ScanRow(3, "0413", 0)) == listed.rows
    assert () == listed.unplaced


@pytest.mark.parametrize(
    "text",
    [
        'Ewe,Scanned\n"0412","2"\n"0413","0"\n',
        "Ewe,Scanned,\n0412,2,\n0413,0,\n,,\n",
        'Ewe,Scanned\n="0412",2\n"=""0413""",0\n',
        " ewe no. ; SCAN\u00a0RESULT \n 0412\u00a0; 2\n\u20070413;empty\n",
        "Tag_No,No. of lambs\n0412,twins\n0413,geld\n",
        "Management-Tag,Foetuses\n0412,x2\n0413,MT\n",
        "ID,Count\n0412,2.0\n0413,E\n",
    ],
)
def test_the_same_list_in_other_shapes(tmp_path: Path, text: str) -> None:
    assert PLAIN == from_text(tmp_path, text).rows


def test_titles_blank_lines_and_sep_line_keep_the_line_numbers_of_the_editor(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "sep=;\nScanned at the top farm\n\nEwe;Scanned\n\n0412;2\n")
    assert (ScanRow(6, "0412", 2),) == listed.rows
    assert "line 2: stands above the headings, not read (Scanned at the top farm)" in listed.notes


def test_separator_is_not_taken_from_notes_or_decimal_commas(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "Ewe;Scanned;Condition;Notes\n0412;2;3,5;old, thin, lame\n0413;1,0;2,5;a, b, c, d\n")
    assert [(3.5, "old, thin, lame"), (2.5, "a, b, c, d")] == [(row.condition, row.notes) for row in listed.rows]


def test_quoted_cell_over_two_lines_is_said(tmp_path: Path) -> None:
    listed = from_text(tmp_path, 'Ewe,Scanned,Notes\n0412,2,"lame\nnear fore"\n0413,1,\n')
    assert [(2, "0412"), (4, "0413")] == [(row.line, row.ewe) for row in listed.rows]
    assert any(note.startswith("lines 2 to 3 were read as one row") for note in listed.notes)


@pytest.mark.parametrize("stray", ['"big', '"a"b'])
def test_stray_quotation_mark_loses_no_ewe(tmp_path: Path, stray: str) -> None:
    listed = from_text(tmp_path, f"Ewe,Scanned,Notes\n0412,2,{stray}\n0413,1,\n0414,1,\n")
    assert ["0412", "0413", "0414"] == [row.ewe for row in listed.rows]
    assert any("quotation marks near line 2" in note for note in listed.notes)


# The words are common practice, no source.
@pytest.mark.parametrize(
    ("count", "written"),
    [
        (0, "0 empty Barren geld EILD yeld dry mt E e not_in_lamb none 00"),
        (1, "1 single singles S one x1 1_lamb 1.0 1,0 01"),
        (2, "2 twin Twins tw two x2 2x 2_lambs two_lambs 2.0 twin_lambs 2_foetuses double"),
        (3, "3 trip triplet triplets Tr three trip."),
        (4, "4 quad quads quadruplets four"),
        (5, "5 quin quins five"),
        (6, "6 six"),
        (8, "8 eight"),
        (None, "? not_scanned n/s unknown"),
    ],
)
def test_counts_as_people_write_them(tmp_path: Path, count: int | None, written: str) -> None:
    words = [word.replace("_", " ") for word in written.split()]
    listed = from_text(tmp_path, "Ewe;Scanned\n" + "".join(f"{n};{word}\n" for n, word in enumerate(words, 100)))
    assert [(word, count) for word in words] == [(word, row.scanned) for word, row in zip(words, listed.rows, strict=True)]


def test_blank_count_is_not_scanned_and_is_said(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "Ewe,Scanned,Breed\n0412,,Mule\n0413\n")
    assert [None, None] == [row.scanned for row in listed.rows]
    assert "taken as not scanned, because no count stands beside the ewe: lines 2, 3" in listed.notes


@pytest.mark.parametrize(
    ("reason", "count"),
    [
        ("“T” may be twins or triplets; write 2 or 3", "T"),
        ("“-” may be empty or not scanned; write 0 if she is empty", "-"),
        ("“in lamb” says in lamb but not how many; write the count", "in lamb"),
        ("“9” is more lambs than a ewe carries (at most 8); check the count", "9"),
        ("“12345678901234567890” is more lambs", "12345678901234567890"),
        ("“2+1” is not a count of lambs; write a number from 0 to 8", "2+1"),
        ("“1.5” is not a count", "1.5"),
        ("“-1” is not a count", "-1"),
        ("“#N/A” is an error of the spreadsheet", "#N/A"),
    ],
)
def test_a_count_that_cannot_be_read(tmp_path: Path, reason: str, count: str) -> None:
    listed = from_text(tmp_path, f"Ewe;Scanned\n0411;1\n0412;{count}\n")
    assert [("0411", 1), ("0412", None)] == [(row.ewe, row.scanned) for row in listed.rows]
    (left_blank,) = listed.unplaced
    assert (3, f"0412;{count}") == (left_blank.line, left_blank.text)
    assert left_blank.reason.startswith(f"The ewe is kept and her count is left blank: {reason}")


@pytest.mark.parametrize(
    "tag", ["0412", "007", "826012345600001", "0826012345600001", "=1+1", "@x", "+44", "-5", "UK 0123456 00001", "E12"]
)
def test_tags_stay_as_they_are_written(tmp_path: Path, tag: str) -> None:
    listed = from_text(tmp_path, f"Ewe;Scanned\n {tag} ;2\n")
    assert (ScanRow(2, tag, 2),) == listed.rows


@pytest.mark.parametrize("tag", ["8.26E+14", "8,26E+14", "8.26012e14", "8E+14", "826012000000000"])
def test_a_shortened_tag_is_refused(tmp_path: Path, tag: str) -> None:
    (left_out,) = from_text(tmp_path, f"Ewe;Scanned\n{tag};2\n").unplaced
    assert f"shortened the tag to “{tag}” and its last digits are lost; open the original file" in left_out.reason


@pytest.mark.parametrize(
    ("reason", "line"),
    [
        ("there is no ewe's number in it", ";1;Mule"),
        ("“?” is not a ewe's number", "?;1;"),
        ("it looks like a remark, not a ewe", "thank you for your custom;;"),
        ("“Triplets” is a count, not a ewe's number", "Triplets;3;"),
        ("there is no ewe's number in it", ";1;average ewe"),
        ("this is longer than a tag can be", "x" * 41 + ";1;"),
        ("ewe 0412 already stands in line 2 with 2, here with 1; delete the row that is wrong", "0412;1;"),
        ("ewe uk\u00a01 already stands in line 3 with 2, here with 1", " uk\u00a01 ;1;"),
    ],
)
def test_a_row_without_its_own_ewe(tmp_path: Path, reason: str, line: str) -> None:
    listed = from_text(tmp_path, f"Ewe;Scanned;Breed\n0412;2;\nUK  1;2;\n{line}\n")
    assert ["0412", "UK  1"] == [row.ewe for row in listed.rows]
    assert [(4, line)] == [(left_out.line, left_out.text) for left_out in listed.unplaced]
    assert listed.unplaced[0].reason.startswith(f"The row is left out: {reason}")


@pytest.mark.parametrize("line", ["Total,7", "totals:,", "Total: 182 ewes,", "Average,1.8", ",Total 7", "Grand Total,9"])
def test_totals_are_not_ewes(tmp_path: Path, line: str) -> None:
    listed = from_text(tmp_path, f"Ewe,Scanned\n0412,2\n{line}\n")
    assert (("0412",), ()) == (tuple(row.ewe for row in listed.rows), listed.unplaced)
    assert f"line 3: taken as a totals row, not a ewe ({line})" in listed.notes


def test_headings_printed_again_are_not_a_ewe(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "Ewe,Scanned\n0412,2\nEwe,Scanned\n0413,1\n")
    assert ["0412", "0413"] == [row.ewe for row in listed.rows]
    assert "line 3: taken as the headings printed again, not a ewe" in listed.notes


def test_ewes_that_differ_by_zeros_are_kept_and_said(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "Ewe,Scanned\n0412,2\n412,1\n")
    assert ["0412", "412"] == [row.ewe for row in listed.rows]
    assert "ewes 0412 and 412 differ only by zeros in front; check that they are not one ewe" in listed.notes


@pytest.mark.parametrize(
    ("expected", "written", "order"),
    [
        (date(2025, 10, 12), "12/10/25", "dmy"),
        (date(2025, 10, 12), "12.10.2025", "dmy"),
        (date(2025, 12, 10), "12/10/25", "mdy"),
        (date(2025, 10, 12), "25/10/12", "ymd"),
        (date(2025, 10, 12), "2025-10-12", "mdy"),
        (date(2025, 10, 12), "2025-10-12 00:00:00", "dmy"),
        (date(2025, 10, 12), "12 Oct 2025", "mdy"),
        (date(2025, 10, 12), "12-Oct-25", "ymd"),
        (date(2025, 10, 12), "12th October 2025", "dmy"),
        (date(2025, 10, 12), "October 12, 2025", "dmy"),
        (date(2025, 10, 12), "12 Oct", "dmy"),
        (date(2025, 10, 12), "12/10", "dmy"),
        (date(2025, 10, 12), "10/12", "mdy"),
        (date(2025, 7, 1), "1 July", "dmy"),
        (date(2026, 6, 30), "30 June", "dmy"),
        (None, "-", "dmy"),
        (None, "?", "dmy"),
    ],
)
def test_mating_dates_as_people_write_them(tmp_path: Path, expected: date | None, written: str, order: str) -> None:
    listed = one_cell(tmp_path, "Tupped", written, dates=order, year=2026)
    assert (expected, ()) == (listed.rows[0].mated_on, listed.unplaced)


@pytest.mark.parametrize(
    ("heading", "column", "expected"),
    [
        ("Scan date", "scanned_on", date(2025, 12, 20)),
        ("Due", "due", date(2026, 12, 20)),
        ("Mated", "mated_on", date(2025, 12, 20)),
    ],
)
def test_a_date_without_a_year_falls_in_its_season(tmp_path: Path, heading: str, column: str, expected: date) -> None:
    assert expected == getattr(one_cell(tmp_path, heading, "20 Dec", year=2026).rows[0], column)


@pytest.mark.parametrize(
    ("label", "why", "heading", "written"),
    [
        ("mating date", "there is no such day as “31/2/25” read as day, month, year", "Mated", "31/2/25"),
        ("mating date", "there is no such day as “31 Feb 2025”; check the date", "Mated", "31 Feb 2025"),
        ("mating date", "“12 Oct” has no year; write the year, or give", "Mated", "12 Oct"),
        ("due date", "“soon” is not a date; write it like 12 Oct 2025", "Due", "soon"),
        ("due date", "“1925-03-12” lies outside 1990 to 2099", "Due", "12/3/1925"),
        ("due date", "“4610” is not a date", "Due", "4610"),
        ("condition score", "“6” is not a condition score; write a number from 0 (thin) to 5 (fat)", "BCS", "6"),
        ("condition score", "“3+” is not a condition score", "BCS", "3+"),
        ("year of birth", "“1066” is not a year a ewe was born in; write a year from 1990", "Born", "1066"),
        ("year of birth", "“old” is not a year", "Born", "old"),
        ("number of lambings", "“2.5” is not a number of lambings", "Parity", "2.5"),
        ("official tag", "the spreadsheet has shortened the tag to “8.26E+14”", "EID", "8.26E+14"),
        ("notes", "“#REF!” is an error of the spreadsheet; type the value itself", "Notes", "#REF!"),
    ],
)
def test_a_bad_cell_leaves_the_ewe(tmp_path: Path, label: str, why: str, heading: str, written: str) -> None:
    listed = one_cell(tmp_path, heading, written)
    assert (ScanRow(2, "0412", 2),) == listed.rows
    (left_blank,) = listed.unplaced
    assert (2, f"0412\t2\t{written}") == (left_blank.line, left_blank.text)
    assert left_blank.reason.startswith(f"The ewe is kept and her {label} is left blank: {why}")
    assert left_blank.reason.endswith(".")


@pytest.mark.parametrize(
    ("column", "expected", "heading", "written"),
    [
        ("born_year", 2021, "Born", "2021"),
        ("born_year", 2021, "Year born", "21"),
        ("born_year", 1998, "Birth year", "'98"),
        ("born_year", 2021, "Born", "12/3/2021"),
        ("condition", 2.5, "CS", "2,5"),
        ("condition", 0.0, "B.C.S.", "0"),
        ("lambings_before", 3, "Parity", "3"),
        ("official_tag", "826012345600001", "EID", "826012345600001"),
        ("ram", "007", "Tup", "007"),
        ("group", "Top 2", "Mob", " Top 2 "),
        ("mark", "blue", "Raddle", "blue"),
        ("breed", "Mule", "BREED", "Mule"),
    ],
)
def test_optional_cells(tmp_path: Path, column: str, expected: object, heading: str, written: str) -> None:
    listed = one_cell(tmp_path, heading, written)
    assert (expected, ()) == (getattr(listed.rows[0], column), listed.unplaced)


def test_headings_say_what_they_were_taken_for(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "ID,Ewe,Scanned,Age,Result\n1,0412,2,4,x\n")
    assert ("0412", 2) == (listed.rows[0].ewe, listed.rows[0].scanned)
    assert (
        HeadingUse("ID", None, "not used"),
        HeadingUse("Ewe", "ewe", "recognised"),
        HeadingUse("Scanned", "scanned", "recognised"),
        HeadingUse("Age", None, "not used"),
        HeadingUse("Result", None, "not used"),
    ) == listed.headings
    assert "“ID” is not used, because “Ewe” is taken for the number" in listed.notes
    assert "“Result” is not used, because “Scanned” is taken for the count" in listed.notes


def test_given_columns_override(tmp_path: Path) -> None:
    listed = from_text(
        tmp_path, "Tag,Her no,Scan,Seen\n9,0412,1,2\n", columns={"her  NO": "ewe", "Seen": "scanned", "Scan": "notes"}
    )
    assert (ScanRow(2, "0412", 2, notes="1"),) == listed.rows
    assert ["not used", "given", "given", "given"] == [use.how for use in listed.headings]


def test_official_tag_serves_as_the_ewe_when_alone(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "EID,Scanned\n826012345600001,2\n")
    assert (ScanRow(2, "826012345600001", 2, official_tag="826012345600001"),) == listed.rows
    assert "“EID” serves as the ewe's number, there is no other" in listed.notes


def test_cells_without_a_heading_are_said(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "Ewe,Scanned,Condition\n0412,2,3,5\n0413,1,3\n")
    assert [(2, "0412,2,3,5")] == [(left.line, left.text) for left in listed.unplaced]
    assert listed.unplaced[0].reason.startswith("Cells without a heading above them were not read, in 1 of 2 lines:")


def test_no_two_columns_share_a_heading_and_every_column_has_its_field() -> None:
    words = [squash(word) for column in EWE_COLUMNS for word in column.synonyms.split(", ")]
    assert len(set(words)) == len(words)
    assert {field.name for field in fields(ScanRow)} - {"line", "sheet", "history"} == {column.name for column in SCAN_COLUMNS}
    assert all(squash(column.name) in words for column in SCAN_COLUMNS)


@pytest.mark.parametrize(
    ("expected", "text"),
    [
        ({"Their heading": "ewe", "Other": "scanned"}, "Their heading=ewe,Other=scanned"),
        ({"a=b": "ewe"}, " a=b = Ewe "),
        ({"Lambs, no.": "scanned", "T": "born_year"}, '"Lambs, no.=scanned",T=born year'),
    ],
)
def test_columns_option(expected: dict[str, str], text: str) -> None:
    assert expected == parse_columns_option(text)


@pytest.mark.parametrize(
    ("sentence", "text"),
    [
        ("“Tag” does not say which column a heading is", "Tag,Scan=scanned"),
        ("“=ewe” does not say", "=ewe"),
        ("No heading is given", ""),
        ("“weight” is not a column of a scanning list: use one of ewe, scanned, breed,", "Kg=weight"),
        ("The column “ewe” is given for two headings", "A=ewe,B=ewe"),
        ("The heading “A” is given twice", "A=ewe,A=scanned"),
    ],
)
def test_columns_option_refused(sentence: str, text: str) -> None:
    with pytest.raises(ValueError, match=f"^{sentence}"):
        parse_columns_option(text)


def test_an_order_of_dates_that_does_not_exist(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="“dym” is not an order of dates: use one of dmy, mdy, ymd."):
        from_text(tmp_path, "Ewe,Scanned\n1,1\n", dates="dym")


def zipped(*names: str, content: bytes = b"<a/>") -> bytes:
    package = io.BytesIO()
    with zipfile.ZipFile(package, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in names:
            archive.writestr(name, content)
    return package.getvalue()


OLE = bytes.fromhex("d0cf11e0a1b11ae1")
DOCTYPE = b"<!DOCTYPE a []><a/>"
ODS = b"application/vnd.oasis.opendocument.spreadsheet"
XLSB = (
    b'<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Override PartName="/xl/workbook.bin" '
    b'ContentType="application/vnd.ms-excel.sheet.binary.macroEnabled.main"/></Types>'
)


@pytest.mark.parametrize(
    ("sentence", "name", "data"),
    [
        ("the file is empty; export the list again", "scan.csv", b""),
        ("the list is empty; export it again", "scan.csv", b"\n ,, \n"),
        ("there are no ewes below the headings; check", "scan.csv", b"Ewe,Scanned\n\nTotal,0\n"),
        ("this is not a text file", "scan.csv", b"\x89PNG\r\n\x1a\n\0\0"),
        ("this is not a text file", "scan.csv", b"Ewe,Scanned\n\x81\x8d,1\n"),
        ("this is a web page, not a list", "scan.xls", b"<html><table>"),
    ],
)
def test_files_that_are_no_list(tmp_path: Path, sentence: str, name: str, data: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(ScanListError) as refused:
        read_scan_list(path)
    assert str(refused.value).startswith(f"{name}: {sentence}")
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize(("sentence", "name", "data"), [
    ("is an old .xls workbook: open it", "scan.xls", OLE + b"x" * 600),
    ("has a password: open it", "scan.xlsx", OLE + "EncryptedPackage".encode("utf-16-le")),
    ("is a text file (a CSV, perhaps), not a workbook", "scan.xlsx", b"Ewe,Scanned\n0412,2\n"),
    ("has been cut short", "scan.xlsx", b"PK\x03\x04 cut short"),
    ("is an OpenDocument", "scan.ods", zipped("mimetype", "content.xml", content=ODS)),
    ("is a zip file", "scan.zip", zipped("scan.csv")),
    ("is a binary workbook (.xlsb): open it", "scan.xlsb", zipped("[Content_Types].xml", "xl/workbook.bin", content=XLSB)),
    ("holds a document type declaration", "scan.xlsx", zipped("[Content_Types].xml", "xl/workbook.xml", content=DOCTYPE)),
])
def test_workbooks_are_looked_over_by_the_guard_of_season_files(
    tmp_path: Path, sentence: str, name: str, data: bytes,
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(Unreadable) as refused:
        read_scan_list(path)
    assert str(refused.value).startswith(f"{name} {sentence}"), refused.value


def test_long_texts_in_many_cells_are_cut_where_they_are_told(tmp_path: Path) -> None:
    """A text is stored once and may stand in every cell: a small file must not become a large answer."""
    long = "x" * 32_000
    listed = from_sheet(tmp_path, ["Ewe", "Scanned", "Notes"], *[["0412", long, long] for _ in range(50)])
    assert 50 == len(listed.unplaced)
    assert max(len(left.text) for left in listed.unplaced) < 500


def test_a_list_open_in_a_spreadsheet_program_is_read_with_a_note(tmp_path: Path) -> None:
    from_sheet(tmp_path, ["Ewe", "Scanned"], ["0412", 2])
    (tmp_path / "~$scan.xlsx").write_bytes(b"shepherd")
    listed = read_scan_list(tmp_path / "scan.xlsx")
    assert ("0412", 2) == (listed.rows[0].ewe, listed.rows[0].scanned)
    assert "is open in a spreadsheet program: what is not saved there is not read" in listed.notes


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(ScanListError, match="the file cannot be opened"):
            read_scan_list(path)


def test_a_file_too_large_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "scan.csv"
    with path.open("wb") as file:
        file.truncate(50_000_001)  # sparse: takes no room
    with pytest.raises(ScanListError, match="larger than 50 MB"):
        read_scan_list(path)


def test_unknown_headings_are_shown_with_the_way_out(tmp_path: Path) -> None:
    with pytest.raises(ScanListError) as refused:
        from_text(tmp_path, "Animal name;Breed;Seen\n0412;Mule;2\n")
    assert "“Animal name”, “Breed”, “Seen”" in str(refused.value)
    assert '--columns "Their heading=ewe,Other heading=scanned"' in str(refused.value)


def test_a_given_heading_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(ScanListError, match="there is no heading “Kills”; the headings found are “Ewe”, “Scanned”"):
        from_text(tmp_path, "Ewe,Scanned\n0412,2\n", columns={"Kills": "group"})


def test_a_workbook(tmp_path: Path) -> None:
    listed = from_sheet(
        tmp_path,
        ["Scanning 2026"],
        [],
        ["Ewe no", "Scanned", "Mated", "Condition", "Born"],
        ["0412", 2, datetime(2025, 10, 12), 3.5, 2021],
        [413, "twins", date(2025, 10, 13), "3,5", "'20"],
        [826012345600001, 1.0, None, None, None],
    )
    assert (
        ScanRow(4, "0412", 2, mated_on=date(2025, 10, 12), condition=3.5, born_year=2021),
        ScanRow(5, "413", 2, mated_on=date(2025, 10, 13), condition=3.5, born_year=2020),
        ScanRow(6, "826012345600001", 1),
    ) == listed.rows
    assert "row 1: stands above the headings, not read (Scanning 2026)" in listed.notes
    assert "each ewe's number is stored as a number in the sheet: zeros in front may have been lost" in "".join(listed.notes)


def test_zeros_shown_by_a_number_format_are_kept(tmp_path: Path) -> None:
    listed = from_sheet(tmp_path, ["Ewe", "Scanned"], [412, 2], number_format={"A2": "0000"})
    assert (ScanRow(2, "0412", 2),) == listed.rows


@pytest.mark.parametrize(
    ("reason", "ewe", "scanned"),
    [
        ("the spreadsheet has shortened the tag to “826012000000000”", 826012000000000, 2),
        ("the spreadsheet has shortened the tag to “8260123456000010”", 8.26012345600001e15, 2),
        ("“2025-12-01” is not a tag, the spreadsheet has turned it into a date", date(2025, 12, 1), 2),
        ("“TRUE” is not a tag", True, 2),
        ("“TRUE” is not a count of lambs", "0412", True),
        ("“1900-01-02” is not a count of lambs", "0412", date(1900, 1, 2)),
        ("the formula “=A1+1” has no stored result; open the list", "=A1+1", 2),
        ("the formula “=1+1” has no stored result; open the list", "0412", "=1+1"),
    ],
)
def test_cells_a_spreadsheet_has_changed(tmp_path: Path, reason: str, ewe: object, scanned: object) -> None:
    listed = from_sheet(tmp_path, ["Ewe", "Scanned"], ["0411", 1], [ewe, scanned])
    kept = "count" in reason or "=1+1" in reason
    assert ["0411"] + ["0412"] * kept == [row.ewe for row in listed.rows]
    (left,) = listed.unplaced
    assert left.reason.startswith(f"{'The ewe is kept and her count is left blank' if kept else 'The row is left out'}: {reason}")


def test_formulas_are_read_by_their_stored_results(tmp_path: Path) -> None:
    path = tmp_path / "scan.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, ["Ewe", "Scanned"])
        sheet.write_formula(1, 0, '="04"&"12"', None, "0412")
        sheet.write_formula(1, 1, "=1+1", None, 2)
        sheet.write_formula(2, 0, "=SUM(B2)", None, "#VALUE!")
        sheet.write(2, 1, 1)
    listed = read_scan_list(path)
    assert (ScanRow(2, "0412", 2),) == listed.rows
    assert "“#VALUE!” is an error of the spreadsheet; type the value itself" in listed.unplaced[0].reason


@pytest.mark.parametrize("stray", [b"", b'<row r="1048576"><c r="B1048576"><v>1</v></c></row>'], ids=["none", "far down"])
def test_a_wrong_stated_size_and_a_stray_cell_hide_no_ewe(tmp_path: Path, stray: bytes) -> None:
    from_sheet(tmp_path, ["Ewe", "Scanned"], ["0412", 2], ["0413", 1])
    with zipfile.ZipFile(tmp_path / "scan.xlsx") as whole, zipfile.ZipFile(tmp_path / "odd.xlsx", "w") as odd:
        for part in whole.namelist():
            content = whole.read(part).replace(b'<dimension ref="A1:B3"', b'<dimension ref="A1"')
            odd.writestr(part, content.replace(b"</sheetData>", stray + b"</sheetData>"))
    listed = read_scan_list(tmp_path / "odd.xlsx")
    assert ["0412", "0413"] == [row.ewe for row in listed.rows]
    assert [1_048_576] * 2 * bool(stray) == [left.line for left in listed.unplaced]  # on both sheets


def test_a_stray_cell_far_to_the_right_is_refused_in_words(tmp_path: Path) -> None:
    from_sheet(tmp_path, ["Ewe", "Scanned"], ["0412", 2])
    with zipfile.ZipFile(tmp_path / "scan.xlsx") as whole, zipfile.ZipFile(tmp_path / "odd.xlsx", "w") as odd:
        for part in whole.namelist():
            stray = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
            odd.writestr(part, whole.read(part).replace(b"</sheetData>", stray))
    with pytest.raises(ScanListError, match="far to the right"):
        read_scan_list(tmp_path / "odd.xlsx")


def test_every_sheet_with_headings_is_read_and_the_others_are_named(tmp_path: Path) -> None:
    book = Workbook(write_only=True)
    book.create_sheet("Letter").append(["Dear customer"])
    for name in ("Scan", "Mob 2"):
        sheet = book.create_sheet(name)
        sheet.append(["Ewe", "Scanned"])
        sheet.append([f"{name}-1", 2])
    path = tmp_path / "scan.csv"  # a workbook by another name
    book.save(tmp_path / "book.xlsx")
    (tmp_path / "book.xlsx").rename(path)
    listed = read_scan_list(path)
    assert [("Scan", "Scan-1"), ("Mob 2", "Mob 2-1")] == [(row.sheet, row.ewe) for row in listed.rows]
    assert "sheets “Scan” and “Mob 2” were read" in listed.notes
    assert [("Letter", 1, "Dear customer")] == [(left.sheet, left.line, left.text) for left in listed.unplaced]
    assert "read as a workbook although its name ends in “.csv”" in listed.notes


def accounted(listed: ScanList) -> set[int]:
    """Lines that stand in rows, among the unplaced, or by their number in a note."""
    by_note = {int(note.split()[1].rstrip(":")) for note in listed.notes if note.startswith(("line ", "row ")) and ": " in note}
    return {row.line for row in listed.rows} | {row.line for row in listed.unplaced} | by_note


CELLS = st.one_of(
    st.text(st.characters(exclude_categories=("Cs", "Cc"), exclude_characters='"'), max_size=12),
    st.sampled_from(["0412", "412", "2", "twins", "T", "-", "?", "Total", "8.26E+14", "31/2/25", "Ewe", "12 Oct", ""]),
)


@given(rows=st.lists(st.lists(CELLS, max_size=6), max_size=12), mark=st.sampled_from(",;\t"))
@PER_RUN
def test_every_filled_line_is_placed_or_named(tmp_path: Path, rows: list[list[str]], mark: str) -> None:
    with (tmp_path / "scan.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=mark).writerows([[*"ab"], ["Ewe", "Scanned", "Mated", "BCS", "Notes"], *rows])
    invisible = "\u200b\u200c\u200d\u2060\ufeff"
    filled = {n for n, row in enumerate(rows, 3) if any(cell.strip().strip(invisible).strip() for cell in row)}
    try:
        listed = read_scan_list(tmp_path / "scan.csv")
    except ScanListError as refused:
        assert "no ewes below the headings" in str(refused)
        return
    assert set() == filled - accounted(listed)
    assert {1} == accounted(listed) - filled
    assert len({row.ewe.casefold() for row in listed.rows}) == len(listed.rows)


def read_or_refuse(path: Path) -> ScanList | Told:
    try:
        return read_scan_list(path, year=2026)
    except Told as refused:
        return refused


@given(data=st.one_of(st.binary(max_size=300), st.text(max_size=300).map(lambda text: text.encode("utf-8", "ignore"))))
@pytest.mark.parametrize("before", [b"", b"Ewe,Scanned,Mated,Born\n", b"PK\x03\x04", b"\xff\xfe", OLE])
@pytest.mark.parametrize("name", ["scan.csv", "scan.xlsx"])
@PER_RUN
def test_any_bytes_give_a_list_or_a_sentence(tmp_path: Path, name: str, before: bytes, data: bytes) -> None:
    (tmp_path / name).write_bytes(before + data)
    assert isinstance(read_or_refuse(tmp_path / name), (ScanList, Told))


@given(changes=st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), min_size=1, max_size=8), cut=st.floats(0.3, 1))
@PER_RUN
def test_a_damaged_workbook_gives_a_list_or_a_sentence(tmp_path: Path, changes: list[tuple[float, int]], cut: float) -> None:
    if not (tmp_path / "scan.xlsx").exists():
        from_sheet(tmp_path, ["Ewe", "Scanned", "Mated"], ["0412", 2, date(2025, 10, 12)], [413, 1, None])
    data = bytearray((tmp_path / "scan.xlsx").read_bytes())
    for place, value in changes:
        data[int(place * (len(data) - 1))] = value
    (tmp_path / "damaged.xlsx").write_bytes(data[: int(len(data) * cut)] if cut < 0.9 else data)
    assert isinstance(read_or_refuse(tmp_path / "damaged.xlsx"), (ScanList, Told))


@given(sheet=st.text(st.sampled_from('<>/"= abcrtvsn0159.eE+-:&;\n'), max_size=200))
@PER_RUN
def test_any_sheet_xml_gives_a_list_or_a_sentence(tmp_path: Path, sheet: str) -> None:
    if not (tmp_path / "scan.xlsx").exists():
        from_sheet(tmp_path, ["Ewe", "Scanned"], ["0412", 2])
    with zipfile.ZipFile(tmp_path / "scan.xlsx") as whole, zipfile.ZipFile(tmp_path / "odd.xlsx", "w") as odd:
        for part in whole.namelist():
            content = whole.read(part)
            if "sheet1" in part:
                content = content.replace(b"</row>", sheet.encode() + b"</row>", 1)
            odd.writestr(part, content)
    assert isinstance(read_or_refuse(tmp_path / "odd.xlsx"), (ScanList, Told))


def test_unplaced_carries_the_row_as_found(tmp_path: Path) -> None:
    listed = from_sheet(tmp_path, ["Ewe", "Scanned", "Breed"], [None, 2, "Mule"])
    reason = "The row is left out: there is no ewe's number in it; write the number, or clear the row if it is not a ewe."
    assert (Unplaced(2, ", 2, Mule", reason),) == listed.unplaced


# Earlier seasons, as a list may give them in a flock's first year.


def test_history_columns_are_read_by_their_headings_or_as_given(tmp_path: Path) -> None:
    headings = 'Ewe,Scanned,"Earlier: lambs born",Bad last time,Earlier prolapse,Diff'
    listed = from_text(tmp_path, f"{headings}\n0412,2,5,1,vaginal 2025,-2.5\n0413,1,,0,,\n0414,1,,,,\n",
                       columns={"Bad last time": "past_fault_1", "Diff": "past_litter_deviation"})
    assert [(("past_born", 5), ("past_fault_1", 1), ("past_prolapse", "vaginal 2025"), ("past_litter_deviation", -2.5)),
            (("past_fault_1", 0),), None] == [row.history for row in listed.rows]
    row = ewe_row(listed.rows[0], Mating())
    assert (5, 1, "vaginal 2025") == tuple(row[column] for column in ("past_born", "past_fault_1", "past_prolapse"))


@pytest.mark.parametrize(("cell", "kept"), [("0", 0), ("1", 1), ("2", None), ("-1", None), ("0.5", None), ("yes", None)])
def test_a_number_of_earlier_seasons_outside_its_limits_is_left_blank_and_said(
    tmp_path: Path, cell: str, kept: int | None,
) -> None:
    listed = from_text(tmp_path, f"Ewe,Scanned,Bad\n0412,2,{cell}\n", columns={"Bad": "past_fault_1"})
    assert ((("past_fault_1", kept),) if kept is not None else None) == listed.rows[0].history
    assert ([] if kept is not None else [2]) == [left.line for left in listed.unplaced]
    assert all(f"“{cell}” is no whole number from 0 to 1; write one within that" in left.reason for left in listed.unplaced)


def test_a_ewe_listed_twice_with_another_history_keeps_the_first_and_is_said(tmp_path: Path) -> None:
    listed = from_text(tmp_path, "Ewe,Scanned,Bad\n0412,2,1\n0412,2,0\n", columns={"Bad": "past_fault_1"})
    assert [(("past_fault_1", 1),)] == [row.history for row in listed.rows]
    assert "with another history; the first is kept" in listed.unplaced[0].reason
