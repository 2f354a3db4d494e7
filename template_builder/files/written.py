"""Whether a file is still as this program wrote it: a file somebody has saved since may hold what a person typed."""

import re
import zipfile
import zlib
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from xml.sax.saxutils import unescape

from template_builder.files.guard import DAMAGE, Unreadable, inspect

CREATED = datetime(2026, 1, 1)  # one fixed moment, so that equal input gives equal bytes
WORKBOOK_ENDINGS = (".xlsx", ".xlsm")

_PROPERTIES = "docProps/core.xml"
_MOST_PROPERTIES = 65_536  # bytes: ours take less than a thousand
# Spreadsheet programs put the moment of saving here when a person saves, but not always when a script does; each dates the
# parts in its own way, too.
_NEVER_SAVED = f">{CREATED:%Y-%m-%dT%H:%M:%S}Z</dcterms:modified>".encode("ascii")
_TITLE = re.compile(r"<dc:title>([^<]*)</dc:title>")
_DATED = (1980, 1, 31)  # how the writer dates every part
_STAMP = "<!-- as written {:08x} -->"
_LENGTH = len(_STAMP.format(0))
_FIGURES = re.compile(rb'\{\s*"version": \d+,\s*("season": \{|"file": "|"files": \[)')  # how figures and problems as JSON begin
_PEEK = 200


def as_written(path: Path) -> bool:
    """Whether nobody has saved the file since this program wrote it. False for every other file, an unreadable one too."""
    if path.suffix.casefold() not in WORKBOOK_ENDINGS:
        return _has_figures(path)
    return _never_saved(path) or _as_stamped(path)


def title_in(path: Path) -> str:
    """The title in a workbook's properties, as it is stored; "" where there is none or it cannot be read."""
    try:
        with zipfile.ZipFile(path) as archive:
            small = archive.getinfo(_PROPERTIES).file_size <= _MOST_PROPERTIES
            found = _TITLE.search(archive.read(_PROPERTIES).decode("utf-8")) if small else None
    except (*DAMAGE, OSError, KeyError, UnicodeDecodeError):
        return ""
    return unescape(found[1]) if found else ""


def stamped(part: bytes, others: Mapping[str, int]) -> bytes:
    """A sheet's part that says what the whole file was when it was written; `others` are the checksums of its other parts.

    For a copy of a person's file, which keeps the person's own properties. A comment, which no program keeps on saving.
    """
    return part + _stamp(part, others)


def _stamp(part: bytes, others: Mapping[str, int]) -> bytes:
    listed = "".join(f"{name} {checksum}\n" for name, checksum in sorted(others.items()))
    return _STAMP.format(zlib.crc32(listed.encode("utf-8"), zlib.crc32(part))).encode("ascii")


def _has_figures(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return _FIGURES.match(file.read(_PEEK)) is not None
    except OSError:
        return False


def _never_saved(path: Path) -> bool:
    try:
        with zipfile.ZipFile(path) as archive:
            if {info.date_time[:3] for info in archive.infolist()} != {_DATED}:
                return False
            size = archive.getinfo(_PROPERTIES).file_size
            return size <= _MOST_PROPERTIES and _NEVER_SAVED in archive.read(_PROPERTIES)
    except (*DAMAGE, OSError, KeyError):
        return False


def _as_stamped(path: Path) -> bool:
    try:
        sheets = inspect(path)
        with zipfile.ZipFile(path) as archive:
            checksums = {info.filename: info.CRC for info in archive.infolist()}
    except (*DAMAGE, OSError, Unreadable):
        return False
    for name in sheets.sheet_parts.values():
        part, stamp = sheets.stored[name][:-_LENGTH], sheets.stored[name][-_LENGTH:]
        others = {other: checksum for other, checksum in checksums.items() if other != name}
        if stamp.startswith(b"<!-- as written") and stamp == _stamp(part, others):
            return True
    return False
