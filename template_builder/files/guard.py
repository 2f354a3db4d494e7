"""Look a workbook over before it is opened: what comes by email may be damaged, foreign or made to do harm.

Every part is unpacked once, never beyond the limits below. Nothing is written to disk, no macro is run and no
link is followed.
"""

import copy
import io
import posixpath
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple
from xml.parsers import expat

from template_builder.files import refusals
from template_builder.files.locks import lock_beside
from template_builder.files.refusals import MOST_BYTES, MOST_BYTES_A_PART, MOST_PARTS
from template_builder.files.told import Told

CHUNK = 1 << 20  # bytes unpacked at a time
MOST_SHOWN = 100  # characters of a stranger's name repeated in a sentence
TEXT_PEEK = 4_096  # bytes looked at to tell a text file from anything else

LOCK_STARTS = ("~$", ".~lock.")
ZIP_STARTS = (b"PK\x03\x04", b"PK\x05\x06")
ZIP_CENTRAL = b"PK\x01\x02"  # starts each line of the list of parts at the end of a zip
ZIP_END = b"PK\x05\x06"
ZIP_END_LENGTH = 22
ENCRYPTED_FLAG = 0x1
OLE_START = bytes.fromhex("d0cf11e0a1b11ae1")
STARTS = (
    (b"%PDF-", refusals.PDF), (b"\x89PNG", refusals.PICTURE), (b"\xff\xd8\xff", refusals.PICTURE),
    (b"GIF8", refusals.PICTURE),
)
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
CONTROLS = bytes(code for code in range(32) if code not in b"\t\n\r\f")
WEB_START = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*(?:<\?xml[^>]*>\s*)?<(?:!doctype\s+html|html|head|body|table)\b", re.I)
XML_START = re.compile(rb"(?:\xef\xbb\xbf)?\s*<\?xml")
DRIVE = re.compile(r"[A-Za-z]:")
ZIP_KINDS = (
    (refusals.NUMBERS, re.compile(r"\.iwa$", re.I)),
    (refusals.DOCUMENT, re.compile(r"^word/")),
    (refusals.SLIDES, re.compile(r"^ppt/")),
    (refusals.PACKED, re.compile(r"\.xls[xm]$", re.I)),
)
ODS_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"
ODF_TYPE = b"application/vnd.oasis.opendocument."

CONTENT_TYPES = "[Content_Types].xml"
USUAL_WORKBOOK = "xl/workbook.xml"
BINARY_WORKBOOK = "xl/workbook.bin"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET_LINK = "http://schemas.openxmlformats.org/officeDocument/2006/relationships id"
STRICT_START = "http://purl.oclc.org/ooxml/"
WORKBOOK_TYPES = (  # in the order in which openpyxl looks for them, so that both read the same part
    "application/vnd.ms-excel.template.macroEnabled.main+xml",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.template.main+xml",
    "application/vnd.ms-excel.sheet.macroEnabled.main+xml",
    "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml",
)
BINARY_TYPE = "application/vnd.ms-excel.sheet.binary.macroEnabled.main"
TEXTS_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
MACRO_PART = "vbaproject.bin"
LINK_FOLDER = "xl/externallinks/"
TRUE = ("1", "true")
STATES = ("visible", "hidden", "veryHidden")

XML_ENDINGS = (".xml", ".rels")
DOCTYPE_MARK = b"<!DOCTYPE"
ASCII_COMPATIBLE = frozenset({b"utf-8", b"utf8", b"us-ascii", b"ascii"})
XML_BEGINS = re.compile(rb"\s*<[^\0][^\0]")  # no zero bytes: not UTF-16 or UTF-32
UTF8_MARK = b"\xef\xbb\xbf"
ENCODING = re.compile(rb"encoding\s*=\s*[\"']([^\"']*)")
FIRST_TAG = re.compile(rb"<([^\s<>/:!?]{1,50}:)?[^\s<>/:!?]")  # no endless prefix: it becomes a pattern
MERGE = rb"<%bmergeCell\s(?:[^<>]*?\s)?ref\s*=\s*[\"']([^\"']*)"
HIDDEN_ROW = rb"<%brow\s(?:[^<>]*?\s)?hidden\s*=\s*[\"'](?:1|true)[\"'][^<>]*"
ROW_NUMBER = re.compile(rb"\sr\s*=\s*[\"'](\d{1,7})[\"']")

# Whatever a damaged zip or damaged XML makes the standard library raise.
DAMAGE = (zipfile.BadZipFile, zlib.error, expat.ExpatError, struct.error, EOFError, NotImplementedError,
          OverflowError, ValueError)

Attributes = dict[str, str]
Start = Callable[[str, Attributes], None]
Parts = Mapping[str, zipfile.ZipInfo]


class Unreadable(Told):
    """The file cannot be read; the text is one sentence: the file's name, what is wrong, what to do."""


class _Refused(Exception):
    """The sentence so far, without the file's name."""


@dataclass(frozen=True)
class Inspected:
    """A workbook that is safe to open, and what reading alone would not show; mappings name every sheet."""

    path: Path
    merged: Mapping[str, tuple[str, ...]]  # sheet name -> merged ranges as written, such as "B5:B7"
    sheet_parts: Mapping[str, str]  # sheet name -> its part in the zip, in the order of the tabs
    date1904: bool  # days are counted from 1904, not from 1900
    hidden_rows: Mapping[str, tuple[int, ...]]  # sheet name -> rows hidden by hand or by a filter
    notes: tuple[str, ...]  # such as "macros are present and were not run"
    book_part: str  # the part that lists the sheets
    texts_part: str | None  # the part that holds the text of cells
    styles_part: str | None  # the part that says how cells look, dates among them
    stored: Mapping[str, bytes]  # these parts and those of the sheets, unpacked


class _Contents(NamedTuple):
    workbook: str  # the part that lists the sheets
    texts: str | None  # the part that holds the text of cells
    styles: str | None


class _Tabs(NamedTuple):
    links: Mapping[str, str]  # sheet name -> its id in the list of links to parts
    date1904: bool


class _SheetFacts(NamedTuple):
    merged: tuple[str, ...]
    hidden_rows: tuple[int, ...]


def inspect(path: Path) -> Inspected:
    """Look the file over and say what is in it; raise Unreadable when it should not be opened."""
    try:
        return _looked_over(path, _bytes_of(path))
    except _Refused as refusal:
        raise Unreadable(f"{_shown(path.name or str(path))} {refusal}.") from None


def _bytes_of(path: Path) -> bytes:
    """Read the whole file, unless its name or size already says that it is no workbook."""
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _Refused(refusals.FOLDER)
        if not stat.S_ISREG(status.st_mode):
            raise _Refused(refusals.NOT_A_FILE)
        if path.name.startswith(LOCK_STARTS):
            raise _Refused(refusals.LOCK_FILE)
        if status.st_size > MOST_BYTES:
            raise _Refused(refusals.TOO_LARGE)
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError, ValueError):  # ValueError: a name that no file can have
        raise _Refused(refusals.MISSING) from None
    except PermissionError:
        raise _Refused(refusals.NOT_ALLOWED) from None
    except OSError as trouble:
        raise _Refused(refusals.UNREACHABLE.format(reason=trouble.strerror)) from None


def _looked_over(path: Path, raw: bytes) -> Inspected:
    """Go through the file from the outside in, so that each step relies only on what was checked before."""
    if not raw.startswith(ZIP_STARTS):
        raise _Refused(_not_a_zip(raw))
    try:
        with _opened(raw) as archive:
            parts = _checked_parts(archive)
            contents = _contents(archive, parts)
            tabs = _tabs(_unpacked(archive, parts[contents.workbook]))
            sheet_parts = _sheet_parts(archive, parts, contents.workbook, tabs)
            facts, stored = _checked_xml(archive, parts, contents, sheet_parts)
    except DAMAGE:
        raise _Refused(refusals.DAMAGED) from None
    return Inspected(
        path=path,
        merged={sheet: facts[part].merged for sheet, part in sheet_parts.items()},
        sheet_parts=sheet_parts,
        date1904=tabs.date1904,
        hidden_rows={sheet: facts[part].hidden_rows for sheet, part in sheet_parts.items()},
        notes=_notes(path, parts),
        book_part=contents.workbook,
        texts_part=contents.texts,
        styles_part=contents.styles,
        stored=stored,
    )


def _not_a_zip(raw: bytes) -> str:
    """Say what a file is that is no zip, from its first bytes."""
    if not raw:
        return refusals.EMPTY
    if raw.startswith(OLE_START):
        return refusals.PASSWORD if "EncryptedPackage".encode("utf-16-le") in raw else refusals.OLD_XLS
    for start, reason in STARTS:
        if raw.startswith(start):
            return reason
    head = raw[:TEXT_PEEK]
    if WEB_START.match(head):
        return refusals.WEB_PAGE
    if XML_START.match(head):
        return refusals.XML_FILE
    is_text = head.startswith(UTF16_MARKS) or len(head) == len(head.translate(None, CONTROLS))
    return refusals.TEXT if is_text else refusals.NO_WORKBOOK


def _opened(raw: bytes) -> zipfile.ZipFile:
    """Open the zip, first counting its parts, since listing millions of them would fill the memory."""
    if raw.count(ZIP_CENTRAL) > MOST_PARTS:
        raise _Refused(refusals.TOO_MANY_PARTS)
    end = raw.rfind(ZIP_END)
    if end < 0 or end + ZIP_END_LENGTH > len(raw):
        raise _Refused(refusals.CUT_SHORT)
    return zipfile.ZipFile(io.BytesIO(raw))


def _checked_parts(archive: zipfile.ZipFile) -> Parts:
    """Refuse bad names, sizes and ways of packing by what the list of parts claims, before unpacking any."""
    parts: dict[str, zipfile.ZipInfo] = {}
    folded: set[str] = set()
    for info in archive.infolist():
        _check_part(info)
        if info.filename.casefold() in folded:
            raise _Refused(refusals.SAME_NAME.format(part=_shown(info.filename)))
        folded.add(info.filename.casefold())
        parts[info.filename] = info
    if sum(info.file_size for info in parts.values()) > MOST_BYTES:
        raise _Refused(refusals.TOO_LARGE)
    return parts


def _check_part(info: zipfile.ZipInfo) -> None:
    name = info.orig_filename
    if name.startswith("/") or DRIVE.match(name) or "\\" in name or "\0" in name or ".." in name.split("/"):
        raise _Refused(refusals.UNSAFE_NAME.format(part=_shown(name)))
    if info.flag_bits & ENCRYPTED_FLAG:
        raise _Refused(refusals.LOCKED_PART)
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise _Refused(refusals.UNKNOWN_PACKING)
    if info.file_size > MOST_BYTES_A_PART:
        raise _Refused(refusals.PART_TOO_LARGE.format(part=_shown(name)))


def _unpacked(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """Unpack one part by pieces, stopping one byte past the size it claims, since the claim may be a lie."""
    claim = copy.copy(info)
    claim.file_size += 1
    with archive.open(claim) as part:
        data = b"".join(iter(lambda: part.read(CHUNK), b""))
    if len(data) != info.file_size:
        raise _Refused(refusals.DAMAGED)
    return data


def _contents(archive: zipfile.ZipFile, parts: Parts) -> _Contents:
    """Find the workbook in the zip by the list of its contents, or say what else the zip is."""
    if CONTENT_TYPES not in parts or not any(name.startswith("xl/") for name in parts):
        raise _Refused(_other_zip(archive, parts))
    overrides: dict[str, str] = {}
    defaults: set[str] = set()

    def start(name: str, attributes: Attributes) -> None:
        kind = attributes.get("ContentType", "")
        if name.endswith(" Override"):
            overrides.setdefault(kind, attributes.get("PartName", "")[1:])
        elif name.endswith(" Default"):
            defaults.add(kind)

    _parse(_unpacked(archive, parts[CONTENT_TYPES]), start)
    usual = USUAL_WORKBOOK if defaults.intersection(WORKBOOK_TYPES) else ""
    workbook = next((overrides[kind] for kind in WORKBOOK_TYPES if kind in overrides), usual)
    if workbook not in parts and (BINARY_TYPE in overrides or (BINARY_TYPE in defaults and BINARY_WORKBOOK in parts)):
        raise _Refused(refusals.BINARY_XLSB)
    if workbook not in parts:
        raise _Refused(refusals.WORKBOOK_LOST)
    texts = overrides.get(TEXTS_TYPE)
    if texts is not None and texts not in parts:
        raise _Refused(refusals.TEXTS_LOST)
    styles = overrides.get(STYLES_TYPE)
    return _Contents(workbook, texts, styles if styles in parts else None)


def _other_zip(archive: zipfile.ZipFile, parts: Parts) -> str:
    """Say what a zip is that holds no workbook."""
    if "mimetype" in parts:
        kind = _unpacked(archive, parts["mimetype"])
        if kind.startswith(ODF_TYPE):
            return refusals.OPEN_DOCUMENT if kind.startswith(ODS_TYPE) else refusals.OPEN_DOCUMENT_OTHER
    for reason, belongs in ZIP_KINDS:
        if any(belongs.search(name) for name in parts):
            return reason
    return refusals.PLAIN_ZIP


def _tabs(data: bytes) -> _Tabs:
    """Read the list of sheets, in the order of their tabs."""
    links: dict[str, str] = {}
    states: set[str] = set()
    folded: set[str] = set()
    from_1904 = False

    def start(name: str, attributes: Attributes) -> None:
        nonlocal from_1904
        if name.startswith(STRICT_START):
            raise _Refused(refusals.STRICT)
        if name == f"{MAIN} workbookPr":
            from_1904 = attributes.get("date1904") in TRUE
        if name == f"{MAIN} sheet":
            sheet = attributes.get("name", "")
            if sheet.casefold() in folded:
                raise _Refused(refusals.SAME_SHEET.format(sheet=_shown(sheet)))
            folded.add(sheet.casefold())
            links[sheet] = attributes.get(SHEET_LINK, "")
            states.add(attributes.get("state", STATES[0]))

    _parse(data, start)
    if not links:
        raise _Refused(refusals.NO_SHEETS)
    if not states.issubset(STATES):
        raise _Refused(refusals.DAMAGED)
    return _Tabs(links, from_1904)


def _sheet_parts(archive: zipfile.ZipFile, parts: Parts, workbook: str, tabs: _Tabs) -> dict[str, str]:
    """Follow each sheet's link to its part; openpyxl would drop a sheet without a part and say nothing."""
    folder, name = posixpath.split(workbook)
    links = posixpath.join(folder, "_rels", f"{name}.rels")
    targets: dict[str, str] = {}

    def start(name: str, attributes: Attributes) -> None:
        if name.endswith(" Relationship") and attributes.get("TargetMode") != "External":
            target = posixpath.join("/", folder, attributes.get("Target", ""))
            targets[attributes.get("Id", "")] = posixpath.normpath(target)[1:]

    if links in parts:
        _parse(_unpacked(archive, parts[links]), start)
    found = {sheet: targets.get(link, "") for sheet, link in tabs.links.items()}
    for sheet, part in found.items():
        if part not in parts:
            raise _Refused(refusals.SHEET_LOST.format(sheet=_shown(sheet)))
    if len(found) > len(set(found.values())):
        raise _Refused(refusals.DAMAGED)
    return found


def _checked_xml(
    archive: zipfile.ZipFile, parts: Parts, contents: _Contents, sheet_parts: Mapping[str, str]
) -> tuple[dict[str, _SheetFacts], dict[str, bytes]]:
    """Unpack every part and refuse a DOCTYPE in any.

    Gives the merges and hidden rows of each sheet's part, and the parts that reading needs.
    """
    sheets = set(sheet_parts.values())
    needed = {*sheets, *contents}
    facts: dict[str, _SheetFacts] = {}
    stored: dict[str, bytes] = {}
    for name, info in parts.items():
        data = _unpacked(archive, info)
        long = name in sheets or name == contents.texts
        if not (long and _is_ascii_compatible(data) and DOCTYPE_MARK not in data):
            _check_whole(name, data)
        if name in sheets:
            facts[name] = _sheet_facts(data)
        if name in needed:
            stored[name] = data
    return facts, stored


def _check_whole(name: str, data: bytes) -> None:
    """Parse a part to its end. What is not called XML may be a picture: then only a DOCTYPE matters."""
    try:
        _parse(data)
    except expat.ExpatError:
        if name.lower().endswith(XML_ENDINGS):
            raise


def _is_ascii_compatible(data: bytes) -> bool:
    """Whether a DOCTYPE would stand in these bytes as plain ASCII, so that searching for it is enough.

    Sheets and shared strings are nearly the whole of a workbook and are parsed again on reading, so that
    searching them here saves time and loses nothing.
    """
    bare = data.removeprefix(UTF8_MARK)
    if not XML_BEGINS.match(bare):
        return False
    declaration = bare[: bare.find(b"?>") + 1] if bare.startswith(b"<?xml") else b""
    return all(encoding.lower() in ASCII_COMPATIBLE for encoding in ENCODING.findall(declaration))


def _sheet_facts(data: bytes) -> _SheetFacts:
    """Find merged ranges and hidden rows, by searching where the bytes allow it."""
    if _is_ascii_compatible(data):
        return _facts_by_search(data)
    refs: list[str] = []
    hidden: list[int] = []

    def start(name: str, attributes: Attributes) -> None:
        if name == f"{MAIN} mergeCell":
            refs.append(attributes.get("ref", ""))
        elif name == f"{MAIN} row" and attributes.get("hidden") in TRUE:
            hidden.append(int(attributes.get("r", "0")))

    _parse(data, start)
    return _SheetFacts(tuple(refs), tuple(hidden))


def _facts_by_search(data: bytes) -> _SheetFacts:
    """Find merges and hidden rows among tags with the prefix of the first, as a sheet uses only one."""
    first = FIRST_TAG.search(data)
    prefix = re.escape(first[1]) if first and first[1] else b""
    merged = tuple(ref.decode("utf-8", "replace") for ref in re.findall(MERGE % prefix, data))
    hidden = (ROW_NUMBER.search(found[0]) for found in re.finditer(HIDDEN_ROW % prefix, data))
    return _SheetFacts(merged, tuple(int(number[1]) if number else 0 for number in hidden))


def _parse(data: bytes, start: Start | None = None) -> None:
    """Parse a whole part, calling `start` with "namespace name" and the attributes of each element."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartDoctypeDeclHandler = _refuse_doctype
    if start:
        parser.StartElementHandler = start
    parser.Parse(data, True)


def _refuse_doctype(name: str, system: str | None, public: str | None, has_subset: bool) -> None:
    raise _Refused(refusals.DOCTYPE)


def _notes(path: Path, parts: Parts) -> tuple[str, ...]:
    """Say what of the file is left alone, and whether what stands on somebody's screen may be newer."""
    names = [name.lower() for name in parts]
    found = {
        refusals.MACROS: any(posixpath.basename(name) == MACRO_PART for name in names),
        refusals.OPEN_ELSEWHERE: lock_beside(path) is not None,
        refusals.OUTSIDE_LINKS: any(name.startswith(LINK_FOLDER) for name in names),
    }
    return tuple(note for note, present in found.items() if present)


def _shown(text: str) -> str:
    """A stranger's name made fit for a sentence: no line breaks or control codes, and not endless."""
    plain = "".join(character if character.isprintable() else "?" for character in text)
    return plain if len(plain) <= MOST_SHOWN else plain[:MOST_SHOWN] + "…"
