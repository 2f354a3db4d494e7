"""Look a workbook over before it is opened: what comes by email may be damaged, foreign or made to do harm.

Every part is unpacked once, never beyond the limits of `refusals.py`. Nothing is written to disk, no macro is run and no
link is followed.
"""

import posixpath
import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from xml.parsers import expat

from template_builder.files import refusals
from template_builder.files.locks import lock_beside
from template_builder.files.package import Contents, contents_of, sheet_parts_of, tabs_of
from template_builder.files.parsed import DOCTYPE_MARK, SheetFacts, check_whole, is_ascii_compatible, sheet_facts
from template_builder.files.refusals import Refused, fit
from template_builder.files.told import Told
from template_builder.files.zipped import ZIP_STARTS, Parts, bytes_of, checked_parts, not_a_zip, opened, unpacked

MACRO_PART = "vbaproject.bin"
LINK_FOLDER = "xl/externallinks/"

# Whatever a damaged zip or damaged XML makes the standard library raise.
DAMAGE = (zipfile.BadZipFile, zlib.error, expat.ExpatError, struct.error, EOFError, NotImplementedError,
          OverflowError, ValueError)


class Unreadable(Told):
    """The file cannot be read; the text is one sentence: the file's name, what is wrong, what to do."""


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


def inspect(path: Path) -> Inspected:
    """Look the file over and say what is in it; raise Unreadable when it should not be opened."""
    try:
        return _looked_over(path, bytes_of(path))
    except Refused as refusal:
        raise Unreadable(f"{fit(path.name or str(path))} {refusal}.") from None


def _looked_over(path: Path, raw: bytes) -> Inspected:
    """Go through the file from the outside in, so that each step relies only on what was checked before."""
    if not raw.startswith(ZIP_STARTS):
        raise Refused(not_a_zip(raw))
    try:
        with opened(raw) as archive:
            parts = checked_parts(archive)
            contents = contents_of(archive, parts)
            tabs = tabs_of(unpacked(archive, parts[contents.workbook]))
            sheet_parts = sheet_parts_of(archive, parts, contents.workbook, tabs)
            facts, stored = _checked_xml(archive, parts, contents, sheet_parts)
    except DAMAGE:
        raise Refused(refusals.DAMAGED) from None
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


def _checked_xml(
    archive: zipfile.ZipFile, parts: Parts, contents: Contents, sheet_parts: Mapping[str, str]
) -> tuple[dict[str, SheetFacts], dict[str, bytes]]:
    """Unpack every part and refuse a DOCTYPE in any.

    Gives the merges and hidden rows of each sheet's part, and the parts that reading needs.
    """
    sheets = set(sheet_parts.values())
    needed = {*sheets, *contents}
    facts: dict[str, SheetFacts] = {}
    stored: dict[str, bytes] = {}
    for name, info in parts.items():
        data = unpacked(archive, info)
        long = name in sheets or name == contents.texts
        if not (long and is_ascii_compatible(data) and DOCTYPE_MARK not in data):
            check_whole(name, data)
        if name in sheets:
            facts[name] = sheet_facts(data)
        if name in needed:
            stored[name] = data
    return facts, stored


def _notes(path: Path, parts: Parts) -> tuple[str, ...]:
    """Say what of the file is left alone, and whether what stands on somebody's screen may be newer."""
    names = [name.lower() for name in parts]
    found = {
        refusals.MACROS: any(posixpath.basename(name) == MACRO_PART for name in names),
        refusals.OPEN_ELSEWHERE: lock_beside(path) is not None,
        refusals.OUTSIDE_LINKS: any(name.startswith(LINK_FOLDER) for name in names),
    }
    return tuple(note for note, present in found.items() if present)
