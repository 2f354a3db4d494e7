"""A file from outside as a zip: its first bytes, its list of parts, and one part unpacked, never beyond the limits."""

import copy
import io
import re
import stat
import zipfile
from collections.abc import Mapping
from pathlib import Path

from template_builder.files import refusals
from template_builder.files.refusals import MOST_BYTES, MOST_BYTES_A_PART, MOST_PARTS, Refused, fit

CHUNK = 1 << 20  # bytes unpacked at a time
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

Parts = Mapping[str, zipfile.ZipInfo]


def bytes_of(path: Path) -> bytes:
    """Read the whole file, unless its name or size already says that it is no workbook."""
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise Refused(refusals.FOLDER)
        if not stat.S_ISREG(status.st_mode):
            raise Refused(refusals.NOT_A_FILE)
        if path.name.startswith(LOCK_STARTS):
            raise Refused(refusals.LOCK_FILE)
        if status.st_size > MOST_BYTES:
            raise Refused(refusals.TOO_LARGE)
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError, ValueError):  # ValueError: a name that no file can have
        raise Refused(refusals.MISSING) from None
    except PermissionError:
        raise Refused(refusals.NOT_ALLOWED) from None
    except OSError as trouble:
        raise Refused(refusals.UNREACHABLE.format(reason=trouble.strerror)) from None


def opened(raw: bytes) -> zipfile.ZipFile:
    """Open the zip, first counting its parts, since listing millions of them would fill the memory."""
    if raw.count(ZIP_CENTRAL) > MOST_PARTS:
        raise Refused(refusals.TOO_MANY_PARTS)
    end = raw.rfind(ZIP_END)
    if end < 0 or end + ZIP_END_LENGTH > len(raw):
        raise Refused(refusals.CUT_SHORT)
    return zipfile.ZipFile(io.BytesIO(raw))


def not_a_zip(raw: bytes) -> str:
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


def checked_parts(archive: zipfile.ZipFile) -> Parts:
    """Refuse bad names, sizes and ways of packing by what the list of parts claims, before unpacking any."""
    parts: dict[str, zipfile.ZipInfo] = {}
    folded: set[str] = set()
    for info in archive.infolist():
        _check_part(info)
        if info.filename.casefold() in folded:
            raise Refused(refusals.SAME_NAME.format(part=fit(info.filename)))
        folded.add(info.filename.casefold())
        parts[info.filename] = info
    if sum(info.file_size for info in parts.values()) > MOST_BYTES:
        raise Refused(refusals.TOO_LARGE)
    return parts


def _check_part(info: zipfile.ZipInfo) -> None:
    name = info.orig_filename
    if name.startswith("/") or DRIVE.match(name) or "\\" in name or "\0" in name or ".." in name.split("/"):
        raise Refused(refusals.UNSAFE_NAME.format(part=fit(name)))
    if info.flag_bits & ENCRYPTED_FLAG:
        raise Refused(refusals.LOCKED_PART)
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise Refused(refusals.UNKNOWN_PACKING)
    if info.file_size > MOST_BYTES_A_PART:
        raise Refused(refusals.PART_TOO_LARGE.format(part=fit(name)))


def unpacked(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """Unpack one part by pieces, stopping one byte past the size it claims, since the claim may be a lie."""
    claim = copy.copy(info)
    claim.file_size += 1
    with archive.open(claim) as part:
        data = b"".join(iter(lambda: part.read(CHUNK), b""))
    if len(data) != info.file_size:
        raise Refused(refusals.DAMAGED)
    return data
