"""What the guard must tell apart before a stranger's workbook is opened, and that nothing else escapes it."""

# ruff: noqa: SIM300 - in every test the expected value stands on the left

import io
import os
import re
import struct
import tracemalloc
import zipfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from template_builder.files import package, parsed, refusals
from template_builder.files.guard import Inspected, Unreadable, inspect
from template_builder.files.zipped import OLE_START, ZIP_CENTRAL

EWES = "xl/worksheets/sheet1.xml"
LAMBS = "xl/worksheets/sheet2.xml"
BOOK = "xl/workbook.xml"
BOOK_LINKS = "xl/_rels/workbook.xml.rels"
TEXTS = "xl/sharedStrings.xml"
TYPES = "[Content_Types].xml"
PART_BIG = 140 * refusals.MEGABYTE

# Where fields stand in a line of a zip's list of parts: ZIP specification (APPNOTE.TXT), section 4.3.12.
FLAGS_AT, CRC_AT, SIZE_AT, NAME_AT = 8, 16, 24, 46


def _season(settings: Mapping[str, object] | None = None) -> bytes:
    """A small season: two merges, three hidden rows, a hidden and a very hidden sheet."""
    target = io.BytesIO()
    with xlsxwriter.Workbook(target, {"in_memory": True, **(settings or {})}) as book:
        ewes, lambs = book.add_worksheet("Ewes"), book.add_worksheet("Lambs & losses")
        book.add_worksheet("Lists").hide()
        book.add_worksheet("_meta").very_hidden()
        ewes.set_row(0, None, None, {"hidden": True})
        ewes.set_column("H:H", None, None, {"hidden": True})
        for row in range(40):
            ewes.write_string(row, 0, f"04{row:02}")
            ewes.write_number(row, 1, row % 4)
        ewes.write_string("C9", '<!DOCTYPE x> <row hidden="1"> as text')
        ewes.merge_range("B5:B7", "Mule")
        ewes.merge_range("D1:E1", "Scanned")
        lambs.set_row(4, None, None, {"hidden": True})
        lambs.set_row(5, 20, None, {"hidden": True})
    return target.getvalue()


SEASON = _season()


def repacked(
    changes: Mapping[str, bytes | None],
    more: Mapping[str, bytes] | None = None,
    packing: int = zipfile.ZIP_DEFLATED,
) -> bytes:
    """The season with some parts replaced (None: left out) and others added."""
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(SEASON)) as old, zipfile.ZipFile(target, "w", packing) as new:
        for name in old.namelist():
            data = changes.get(name, old.read(name))
            if data is not None:
                new.writestr(name, data)
        for name, data in (more or {}).items():
            new.writestr(name, data)
    return target.getvalue()


def part(name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(SEASON)) as archive:
        return archive.read(name)


def changed(name: str, old: str, new: str) -> bytes:
    text = part(name).decode()
    assert old in text
    return repacked({name: text.replace(old, new).encode()})


def zipped(parts: Mapping[str, bytes]) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return target.getvalue()


def claiming(raw: bytes, name: str, at: int, form: str, value: int) -> bytes:
    """The zip with one field of one part's line in the list of parts overwritten."""
    line = raw.rindex(name.encode()) - NAME_AT
    assert raw[line:].startswith(ZIP_CENTRAL)
    field = struct.pack(form, value)
    return raw[: line + at] + field + raw[line + at + len(field) :]


def too_large_together() -> bytes:
    raw = SEASON
    for name in (EWES, LAMBS, TEXTS):
        raw = claiming(raw, name, SIZE_AT, "<I", PART_BIG)
    return raw


def flipped() -> bytes:
    """One byte turned over in the middle of the packed first sheet."""
    with zipfile.ZipFile(io.BytesIO(SEASON)) as archive:
        info = archive.getinfo(EWES)
    at = info.header_offset + 30 + len(EWES) + info.compress_size // 2
    return SEASON[:at] + bytes([SEASON[at] ^ 0xFF]) + SEASON[at + 1 :]


def twice() -> bytes:
    with pytest.warns(UserWarning, match="Duplicate name"):
        return repacked({}, {EWES: b"<worksheet/>"})


def with_doctype(name: str, encoding: str = "utf-8", declared_in: str = "", mark: bytes = b"") -> bytes:
    """A part with a DOCTYPE after its declaration, all in `encoding` or the declaration in another."""
    root = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]>' + part(name).decode().split("?>", 1)[1].strip()
    declared = f'<?xml version="1.0" encoding="{encoding.removesuffix("-be").removesuffix("-le")}"?>'
    return repacked({name: mark + declared.encode(declared_in or encoding) + root.encode(encoding)})


OLE = OLE_START + bytes(504)
STRICT = part(BOOK).replace(parsed.MAIN.encode(), b"http://purl.oclc.org/ooxml/spreadsheetml/main")
XLSB = part(TYPES).replace(package.WORKBOOK_TYPES[-1].encode(), package.BINARY_TYPE.encode())
# Some writers say of every part that ends in .bin what it would be, though the workbook holds none.
BINARY_DEFAULT = f'<Default Extension="bin" ContentType="{package.BINARY_TYPE}"/>'.encode()
BINARY_BY_DEFAULT = part(TYPES).replace(b"<Default ", BINARY_DEFAULT + b"<Default ", 1)
SENT_AGAIN = "ask for it to be sent again."
AS_XLSX = "save it as an Excel workbook (.xlsx), then run this again."

# what it is -> the bytes under the name season.xlsx, what the sentence says it is, what it says to do
FILES: dict[str, tuple[Callable[[], bytes], str, str]] = {
    "nothing": (lambda: b"", "is an empty file", SENT_AGAIN),
    "csv": (lambda: b"Ewe,Lambs\n0412,2\n", "is a text file (a CSV, perhaps)", AS_XLSX),
    "csv in an old code page": (lambda: "Ewe;Ré\n".encode("cp1252"), "is a text file", AS_XLSX),
    "csv in UTF-16": (lambda: "Ewe\tLambs".encode("utf-16"), "is a text file", AS_XLSX),
    "csv that begins with PK": (lambda: b"PK ewe,Lambs\n", "is a text file", AS_XLSX),
    "web page": (lambda: b"\n<!DOCTYPE html><html><table>", "is a web page", AS_XLSX),
    "table saved by a web program": (lambda: b"<HTML xmlns:x=''><body>", "is a web page", AS_XLSX),
    "XML": (lambda: b'<?xml version="1.0"?><Workbook/>', "is an XML file", AS_XLSX),
    "png": (lambda: b"\x89PNG\r\n\x1a\n" + bytes(99), "is a picture", "ask for the workbook itself."),
    "jpeg": (lambda: b"\xff\xd8\xff\xe0" + bytes(99), "is a picture", "ask for the workbook itself."),
    "pdf": (lambda: b"%PDF-1.7\n", "is a PDF", "ask for the workbook it was made from."),
    "anything else": (lambda: bytes(range(256)), "is not a workbook", AS_XLSX),
    "xls": (lambda: OLE, "is an old .xls workbook", AS_XLSX),
    "password": (
        lambda: OLE + "EncryptedPackage".encode("utf-16-le"),
        "has a password",
        "without the password",
    ),
    "half of it": (lambda: SEASON[: len(SEASON) // 2], "has been cut short", SENT_AGAIN),
    "all but 5 bytes": (lambda: SEASON[:-5], "has been cut short", SENT_AGAIN),
    "ods": (
        lambda: zipped({"mimetype": package.ODS_TYPE, "content.xml": b"<a/>"}),
        "OpenDocument spreadsheet",
        AS_XLSX,
    ),
    "odt": (
        lambda: zipped({"mimetype": b"application/vnd.oasis.opendocument.text"}),
        "not a spreadsheet",
        "itself.",
    ),
    "docx": (lambda: zipped({TYPES: b"<a/>", "word/document.xml": b"<a/>"}), "is a text document", "itself."),
    "pptx": (lambda: zipped({TYPES: b"<a/>", "ppt/presentation.xml": b"<a/>"}), "is a slide show", "itself."),
    "numbers": (lambda: zipped({"Index/Document.iwa": b"a"}), "is an Apple Numbers spreadsheet", "export it"),
    "zipped xlsx": (
        lambda: zipped({"season.xlsx": SEASON}),
        "a zip folder with a workbook",
        "take the workbook out",
    ),
    "plain zip": (lambda: zipped({"a.txt": b"a"}), "is a zip file without a workbook", "itself."),
    "empty zip": (lambda: zipped({}), "is a zip file without a workbook", "itself."),
    "xlsb": (lambda: repacked({TYPES: XLSB}), "is a binary workbook (.xlsb)", AS_XLSX),
    "strict": (
        lambda: repacked({BOOK: STRICT}),
        "is saved as a Strict Open XML workbook",
        "an ordinary Excel",
    ),
    "flipped byte": (flipped, "was damaged on the way", SENT_AGAIN),
    "broken XML in the workbook": (lambda: repacked({BOOK: part(BOOK)[:-9]}), "was damaged", SENT_AGAIN),
    "broken XML in the styles": (lambda: repacked({"xl/styles.xml": b"<a>"}), "was damaged", SENT_AGAIN),
    "no list of contents": (lambda: repacked({TYPES: None}), "is a zip file without a workbook", "itself."),
    "no workbook part": (lambda: repacked({BOOK: None}), "has lost the list of its sheets", SENT_AGAIN),
    "no links": (lambda: repacked({BOOK_LINKS: None}), "has lost its sheet 'Ewes'", SENT_AGAIN),
    "no sheet part": (lambda: repacked({LAMBS: None}), "has lost its sheet 'Lambs & losses'", SENT_AGAIN),
    "no shared strings": (lambda: repacked({TEXTS: None}), "has lost the text of its cells", SENT_AGAIN),
    "no sheets": (
        lambda: repacked({BOOK: f'<workbook xmlns="{parsed.MAIN}"/>'.encode()}),
        "has no sheets",
        "a fresh copy",
    ),
    "two sheets of one name": (
        lambda: changed(BOOK, 'name="Lists"', 'name="EWES"'),
        "has two sheets called 'EWES'",
        "another name",
    ),
    "two sheets on one part": (
        lambda: changed(BOOK_LINKS, "worksheets/sheet2.xml", "worksheets/sheet1.xml"),
        "damaged",
        SENT_AGAIN,
    ),
    "unknown state": (lambda: changed(BOOK, '"veryHidden"', '"gone"'), "was damaged", SENT_AGAIN),
    "doctype in the contents": (lambda: with_doctype(TYPES), "(DOCTYPE)", "do not open it"),
    "doctype in the workbook": (lambda: with_doctype(BOOK), "(DOCTYPE)", "do not open it"),
    "doctype in the links": (lambda: with_doctype(BOOK_LINKS), "(DOCTYPE)", "do not open it"),
    "doctype in a sheet": (lambda: with_doctype(EWES), "(DOCTYPE)", "do not open it"),
    "doctype in the strings": (lambda: with_doctype(TEXTS), "(DOCTYPE)", "do not open it"),
    "doctype in the styles": (lambda: with_doctype("xl/styles.xml"), "(DOCTYPE)", "do not open it"),
    "doctype in UTF-16": (
        lambda: with_doctype(EWES, "utf-16-le", mark=b"\xff\xfe"),
        "(DOCTYPE)",
        "do not open it",
    ),
    "doctype in UTF-16, other order": (
        lambda: with_doctype(EWES, "utf-16-be", mark=b"\xfe\xff"),
        "(DOCTYPE)",
        "do not open it",
    ),
    "doctype in UTF-16, no mark": (lambda: with_doctype(EWES, "utf-16-le"), "(DOCTYPE)", "do not open it"),
    "doctype in UTF-16 strings": (
        lambda: with_doctype(TEXTS, "utf-16-le", mark=b"\xff\xfe"),
        "(DOCTYPE)",
        "do not open it",
    ),
    "doctype in Latin-1": (lambda: with_doctype(EWES, "iso-8859-1"), "(DOCTYPE)", "do not open it"),
    # Declared in ASCII and then written in EBCDIC, where "<!DOCTYPE" is other bytes: expat gives up at once.
    "doctype in EBCDIC": (lambda: with_doctype(EWES, "cp037", "ascii"), "was damaged", SENT_AGAIN),
    "doctype under another ending": (
        lambda: repacked({}, {"xl/media/ewe.png": b"<!DOCTYPE a><a/>"}),
        "(DOCTYPE)",
        "do not open it",
    ),
    "claims a huge part": (
        lambda: claiming(SEASON, EWES, SIZE_AT, "<I", refusals.MOST_BYTES_A_PART + 1),
        f"holds the part '{EWES}', which unpacks to more than 150 MB",
        "do not open it",
    ),
    "claims a huge total": (too_large_together, "holds more than 300 MB", "do not open it"),
    "claims too much": (lambda: claiming(SEASON, EWES, SIZE_AT, "<I", 99_999), "was damaged", SENT_AGAIN),
    "claims too little": (lambda: claiming(SEASON, EWES, SIZE_AT, "<I", 99), "was damaged", SENT_AGAIN),
    "5,001 parts": (
        lambda: zipped({f"xl/{number}": b"" for number in range(5_001)}),
        "more than 5,000 parts",
        "do not open it",
    ),
    "climbing name": (
        lambda: repacked({}, {"xl/../../a.xml": b"<a/>"}),
        "('xl/../../a.xml')",
        "a fresh copy",
    ),
    "absolute name": (lambda: repacked({}, {"/etc/a.xml": b"<a/>"}), "('/etc/a.xml')", "a fresh copy"),
    "drive name": (lambda: repacked({}, {"C:/a.xml": b"<a/>"}), "('C:/a.xml')", "a fresh copy"),
    "backslash name": (lambda: repacked({}, {"xl\\a.xml": b"<a/>"}), "('xl\\a.xml')", "a fresh copy"),
    "control codes in a name": (lambda: repacked({}, {"../\x1b[2J\n": b""}), "('../?[2J?')", "a fresh copy"),
    "part twice": (twice, f"holds the part '{EWES}' more than once", "a fresh copy"),
    "part twice but for case": (
        lambda: repacked({}, {"XL/Workbook.xml": b"<a/>"}),
        "'XL/Workbook.xml' more than once",
        "a fresh copy",
    ),
    "locked part": (
        lambda: claiming(SEASON, EWES, FLAGS_AT, "<H", 1),
        "is a zip file with a password",
        "without a password",
    ),
    "name that is not UTF-8 though it says so": (
        lambda: claiming(claiming(SEASON, EWES, FLAGS_AT, "<H", 0x800), EWES, NAME_AT, "<B", 0xFF),
        "was damaged",
        SENT_AGAIN,
    ),
    "other packing": (
        lambda: repacked({}, packing=zipfile.ZIP_BZIP2),
        "is packed in a way no workbook uses",
        "a fresh copy",
    ),
}


def refusal(path: Path) -> str:
    with pytest.raises(Unreadable) as raised:
        inspect(path)
    return str(raised.value)


def written(folder: Path, data: bytes, name: str = "season.xlsx") -> Path:
    path = folder / name
    path.write_bytes(data)
    return path


@pytest.mark.parametrize("case", FILES)
def test_each_unreadable_file_is_told_in_one_sentence(case: str, tmp_path: Path) -> None:
    make, what, todo = FILES[case]
    sentence = refusal(written(tmp_path, make()))
    assert what in sentence
    assert todo in sentence
    assert sentence.startswith("season.xlsx ")
    assert sentence.endswith(".")
    assert 1 == sentence.count("season.xlsx")
    assert sentence.isprintable()
    assert str(tmp_path) not in sentence


def test_the_whole_sentence_for_an_old_workbook(tmp_path: Path) -> None:
    assert (
        "season.xlsx is an old .xls workbook: open it in a spreadsheet program, "
        "save it as an Excel workbook (.xlsx), then run this again."
    ) == refusal(written(tmp_path, OLE))


@pytest.mark.parametrize("name", ["~$season.xlsx", ".~lock.season.xlsx#"])
def test_a_lock_file_is_known_by_its_name(name: str, tmp_path: Path) -> None:
    assert "is the lock file of an open workbook" in refusal(written(tmp_path, b"shepherd", name))


@pytest.mark.parametrize("name", ["nowhere.xlsx", "no/such/folder.xlsx", "zero\0byte.xlsx"])
def test_a_missing_file(name: str, tmp_path: Path) -> None:
    assert "was not found: check the name and the folder." in refusal(tmp_path / name)


def test_a_folder(tmp_path: Path) -> None:
    assert f"{tmp_path.name} is a folder: give the name of the workbook inside it." == refusal(tmp_path)
    assert refusal(Path()).startswith(". is a folder")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "season.xlsx")
    assert "season.xlsx is not an ordinary file" in refusal(tmp_path / "season.xlsx")


@pytest.mark.parametrize(
    ("trouble", "expected"),
    [
        (PermissionError(13, "denied"), "may not be read"),
        (OSError(5, "disk error"), "could not be read (disk error)"),
    ],
)
def test_a_file_that_the_system_will_not_give(
    trouble: OSError, expected: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read_bytes(path: Path) -> bytes:
        raise trouble

    monkeypatch.setattr(Path, "read_bytes", read_bytes)
    assert expected in refusal(written(tmp_path, SEASON))


def test_a_file_beyond_the_limit_is_not_even_read(tmp_path: Path) -> None:
    with (tmp_path / "season.xlsx").open("wb") as sparse:
        sparse.truncate(refusals.MOST_BYTES + 1)
    assert "holds more than 300 MB" in refusal(tmp_path / "season.xlsx")


def test_a_part_that_lies_about_its_size_is_unpacked_no_further(tmp_path: Path) -> None:
    """30 MB that claims to be 1,000 bytes, with the checksum of those, so that only the guard can tell."""
    bomb, claim = bytes(30_000_000), 1_000
    raw = repacked({}, {"xl/media/ewe.png": bomb})
    raw = claiming(raw, "xl/media/ewe.png", SIZE_AT, "<I", claim)
    raw = claiming(raw, "xl/media/ewe.png", CRC_AT, "<I", zlib.crc32(bomb[:claim]))
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        assert claim == len(archive.read("xl/media/ewe.png"))  # the library itself sees nothing wrong
    path = written(tmp_path, raw)
    tracemalloc.start()
    sentence = refusal(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "was damaged on the way" in sentence
    assert peak < len(bomb) / 5


def test_a_good_workbook_is_described(tmp_path: Path) -> None:
    path = written(tmp_path, SEASON)
    sheets = ["Ewes", "Lambs & losses", "Lists", "_meta"]
    expected = Inspected(
        path=path,
        merged=dict.fromkeys(sheets, ()) | {"Ewes": ("B5:B7", "D1:E1")},
        sheet_parts={sheet: f"xl/worksheets/sheet{number}.xml" for number, sheet in enumerate(sheets, 1)},
        date1904=False,
        hidden_rows=dict.fromkeys(sheets, ()) | {"Ewes": (1,), "Lambs & losses": (5, 6)},
        notes=(),
        book_part=BOOK,
        texts_part="xl/sharedStrings.xml",
        styles_part="xl/styles.xml",
        stored=inspect(path).stored,
    )
    assert expected == inspect(path)
    assert sheets == list(inspect(path).sheet_parts)
    with zipfile.ZipFile(path) as archive:
        needed = [BOOK, "xl/sharedStrings.xml", "xl/styles.xml", *expected.sheet_parts.values()]
        assert {name: archive.read(name) for name in needed} == expected.stored


def _prefixed(data: bytes) -> bytes:
    """The same sheet as some programs write it: every element as x:element."""
    return re.sub(rb"(</?)(?=\w)", rb"\1x:", data).replace(b"xmlns=", b"xmlns:x=")


def _in(encoding: str, data: bytes) -> bytes:
    return data.decode().replace("UTF-8", encoding, 1).encode(encoding)


@pytest.mark.parametrize(
    "write",
    [
        _prefixed,
        lambda data: data.replace(b'"', b"'"),
        lambda data: data.replace(b'hidden="1"', b'hidden="true"'),
        lambda data: data.replace(b"><", b">\r\n<").replace(b"<mergeCell ", b"<mergeCell\n  "),
        lambda data: parsed.UTF8_MARK + data,
        lambda data: _in("utf-16", data),
        lambda data: _in("iso-8859-1", data),
        lambda data: _in("utf-16", _prefixed(data)),
    ],
    ids=[
        "prefix",
        "single quotes",
        "true",
        "line breaks",
        "UTF-8 mark",
        "UTF-16",
        "Latin-1",
        "UTF-16 and prefix",
    ],
)
def test_other_ways_of_writing_a_sheet_say_the_same(write: Callable[[bytes], bytes], tmp_path: Path) -> None:
    data = write(part(EWES))
    assert data != part(EWES)
    path = written(tmp_path, repacked({EWES: data}))
    found = inspect(path)
    assert ("B5:B7", "D1:E1") == found.merged["Ewes"]
    assert (1,) == found.hidden_rows["Ewes"]
    assert "Mule" == openpyxl.load_workbook(path)["Ewes"]["B5"].value


def test_a_doctype_that_is_only_text_is_let_through(tmp_path: Path) -> None:
    text = part(TEXTS).decode().replace("<t>0400</t>", "<t><![CDATA[<!DOCTYPE a>]]></t>")
    assert "<!DOCTYPE" in text
    path = written(tmp_path, repacked({TEXTS: text.encode()}))
    inspect(path)
    assert "<!DOCTYPE a>" == openpyxl.load_workbook(path)["Ewes"]["A1"].value


def test_pictures_and_untidy_drawings_are_let_through(tmp_path: Path) -> None:
    more = {
        "xl/media/": b"",
        "xl/media/ewe.png": b"\x89PNG\r\n" + bytes(99),
        "xl/drawings/a.vml": b"<xml><br></xml>",
    }
    assert () == inspect(written(tmp_path, repacked({}, more))).notes


@pytest.mark.parametrize(
    ("target", "resolved"), [("/xl/worksheets/sheet1.xml", EWES), ("./worksheets/sheet1.xml", EWES)]
)
def test_links_to_sheets_in_other_shapes(target: str, resolved: str, tmp_path: Path) -> None:
    raw = changed(BOOK_LINKS, '"worksheets/sheet1.xml"', f'"{target}"')
    assert resolved == inspect(written(tmp_path, raw)).sheet_parts["Ewes"]


def test_a_workbook_saved_again_by_another_program(tmp_path: Path) -> None:
    again = tmp_path / "again.xlsx"
    openpyxl.load_workbook(io.BytesIO(SEASON)).save(again)
    before, after = inspect(written(tmp_path, SEASON)), inspect(again)
    assert {sheet: set(ranges) for sheet, ranges in before.merged.items()} == {
        sheet: set(ranges) for sheet, ranges in after.merged.items()
    }
    assert before.hidden_rows == after.hidden_rows


def test_days_counted_from_1904(tmp_path: Path) -> None:
    assert inspect(written(tmp_path, _season({"date_1904": True}))).date1904


def test_macros_and_outside_links_are_noted(tmp_path: Path) -> None:
    xlsm = part(TYPES).replace(package.WORKBOOK_TYPES[-1].encode(), package.WORKBOOK_TYPES[-2].encode())
    more = {"xl/vbaProject.bin": OLE, "xl/externalLinks/externalLink1.xml": b"<a/>"}
    found = inspect(written(tmp_path, repacked({TYPES: xlsm}, more), "season.xlsm"))
    assert (
        "macros are present and were not run",
        "links to other workbooks are present and were not followed",
    ) == found.notes


def test_a_name_with_control_codes_is_shown_plainly(tmp_path: Path) -> None:
    assert "se?[2Jason.xlsx is an empty file: ask for it to be sent again." == refusal(
        written(tmp_path, b"", "se\x1b[2Jason.xlsx")
    )


def _survives(folder: Path, raw: bytes) -> None:
    """Either refused in a sentence, or openpyxl finds the very sheets that the guard promised."""
    path = written(folder, raw)
    try:
        found = inspect(path)
    except Unreadable as refused:
        assert str(refused).startswith("season.xlsx ")
        return
    book = openpyxl.load_workbook(path, read_only=True)
    assert book.sheetnames == list(found.sheet_parts)
    for sheet in book:
        list(sheet.values)  # reading to the end must not raise
    book.close()


@settings(max_examples=examples(150), deadline=None)
@given(
    flips=st.lists(st.tuples(st.integers(0, len(SEASON) - 1), st.integers(1, 255)), min_size=1, max_size=4)
)
def test_flipped_bytes_never_escape(
    tmp_path_factory: pytest.TempPathFactory, flips: list[tuple[int, int]]
) -> None:
    raw = bytearray(SEASON)
    for at, mask in flips:
        raw[at] ^= mask
    _survives(tmp_path_factory.mktemp("flips"), bytes(raw))


END_LIST = SEASON.index(ZIP_CENTRAL)


@settings(max_examples=examples(150), deadline=None)
@given(at=st.integers(END_LIST, len(SEASON) - 1), mask=st.integers(1, 255))
def test_flips_in_the_list_of_parts_never_escape(
    tmp_path_factory: pytest.TempPathFactory, at: int, mask: int
) -> None:
    """Parts have checksums and the list has none, so this is where surprises come from."""
    _survives(tmp_path_factory.mktemp("list"), SEASON[:at] + bytes([SEASON[at] ^ mask]) + SEASON[at + 1 :])


@settings(max_examples=examples(60), deadline=None)
@given(length=st.integers(0, len(SEASON) - 1))
def test_a_file_cut_anywhere_is_refused(tmp_path_factory: pytest.TempPathFactory, length: int) -> None:
    refusal(written(tmp_path_factory.mktemp("cut"), SEASON[:length]))


def test_a_kind_stated_for_parts_that_are_not_there_is_no_binary_workbook(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    path.write_bytes(repacked({TYPES: BINARY_BY_DEFAULT}))
    assert inspect(path).sheet_parts


@pytest.mark.parametrize("lock", ["~$season.xlsx", ".~lock.season.xlsx#"])
def test_a_workbook_open_elsewhere_is_read_with_a_note(tmp_path: Path, lock: str) -> None:
    path = tmp_path / "season.xlsx"
    path.write_bytes(SEASON)
    assert () == inspect(path).notes
    (tmp_path / lock).write_bytes(b"shepherd")
    assert ("is open in a spreadsheet program: what is not saved there is not read",) == inspect(path).notes
