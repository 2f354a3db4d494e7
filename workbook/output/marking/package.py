"""A workbook file as its parts: changed parts are packed anew, all others are copied the way they are packed."""

import io
import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass

from workbook.output.marking.markup import as_utf8

# The layout of a zip: ZIP file format specification (APPNOTE.TXT), sections 4.3.7, 4.3.12 and 4.3.16.
LOCAL = struct.Struct("<4s5H3L2H")
CENTRAL = struct.Struct("<4sBB5H3L5H2L")
END = struct.Struct("<4s4H2LH")
LOCAL_MARK, CENTRAL_MARK, END_MARK = b"PK\x03\x04", b"PK\x01\x02", b"PK\x05\x06"
LENGTHS_AT = 26  # where a local header says how long the name and the extra field after it are
SIZES_FOLLOW = 0x08  # flag: sizes stand behind the data instead of before it
NAME_IS_UTF8 = 0x800
VERSION = 20
MOMENT = (1980, 1, 1, 0, 0, 0)  # one fixed moment, so that equal input gives equal bytes
FIRST_YEAR = 1980
LEVEL = 4  # of packing: nearly as small as the usual 6 in half the time


@dataclass(frozen=True)
class _Packed:
    """One part as it stands in a zip."""

    info: zipfile.ZipInfo
    data: bytes


class Package:
    """The parts of a workbook by name, and what has been changed in them so far."""

    def __init__(self, raw: bytes) -> None:
        self._raw = raw
        self._archive = zipfile.ZipFile(io.BytesIO(raw))
        self._infos = {info.filename: info for info in self._archive.infolist()}
        self._changed: dict[str, bytes] = {}
        self._folded = {name.casefold() for name in self._infos}

    def __contains__(self, name: str) -> bool:
        return name in self._changed or name in self._infos

    @property
    def names(self) -> tuple[str, ...]:
        """Every part, those added last."""
        return tuple(self._infos | self._changed)

    @property
    def changed(self) -> frozenset[str]:
        """The parts written to, added ones included."""
        return frozenset(self._changed)

    def read(self, name: str) -> bytes:
        """The bytes of a part as they are now; KeyError where there is none."""
        return self._changed[name] if name in self._changed else self._archive.read(self._infos[name])

    def markup(self, name: str) -> bytes:
        """The bytes of an XML part, in an encoding in which ASCII stands as it is."""
        return as_utf8(self.read(name))

    def write(self, name: str, data: bytes) -> None:
        """Change a part, or add one. Equal bytes are no change."""
        if name not in self or data != self.read(name):
            self._changed[name] = data
            self._folded.add(name.casefold())

    @property
    def checksums(self) -> Mapping[str, int]:
        """The checksum of each part as it is now, as the zip's directory will list it."""
        return {name: zlib.crc32(self._changed[name]) if name in self._changed else self._infos[name].CRC for name in self.names}

    def free_name(self, start: str, ending: str) -> str:
        """A name not taken: "xl/comments" and ".xml" may give "xl/comments3.xml"."""
        number = 1
        while f"{start}{number}{ending}".casefold() in self._folded:
            number += 1
        return f"{start}{number}{ending}"

    def packed(self) -> bytes:
        """The whole file."""
        packed = [self._new(name) if name in self._changed else self._old(name) for name in self.names]
        out = io.BytesIO()
        offsets = [_write_local(out, part) for part in packed]
        directory = out.tell()
        for part, offset in zip(packed, offsets, strict=True):
            _write_central(out, part, offset)
        size = out.tell() - directory
        out.write(END.pack(END_MARK, 0, 0, len(packed), len(packed), size, directory, 0))
        return out.getvalue()

    def _old(self, name: str) -> _Packed:
        info = self._infos[name]
        name_length, extra_length = struct.unpack_from("<2H", self._raw, info.header_offset + LENGTHS_AT)
        start = info.header_offset + LOCAL.size + name_length + extra_length
        return _Packed(info, self._raw[start:start + info.compress_size])

    def _new(self, name: str) -> _Packed:
        data = self._changed[name]
        packer = zlib.compressobj(LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
        packed = packer.compress(data) + packer.flush()
        info = zipfile.ZipInfo(name, MOMENT)
        info.compress_type = zipfile.ZIP_DEFLATED
        info.CRC, info.file_size, info.compress_size = zlib.crc32(data), len(data), len(packed)
        return _Packed(info, packed)


def _name_and_flags(info: zipfile.ZipInfo) -> tuple[bytes, int]:
    flags = info.flag_bits & ~SIZES_FOLLOW
    try:
        return info.filename.encode("ascii"), flags
    except UnicodeEncodeError:
        return info.filename.encode("utf-8"), flags | NAME_IS_UTF8


def _clock(info: zipfile.ZipInfo) -> tuple[int, int]:
    """The time and the date of a part as a zip writes them."""
    year, month, day, hour, minute, second = info.date_time
    return hour << 11 | minute << 5 | second // 2, max(year - FIRST_YEAR, 0) << 9 | month << 5 | day


def _write_local(out: io.BytesIO, part: _Packed) -> int:
    offset, info = out.tell(), part.info
    name, flags = _name_and_flags(info)
    out.write(LOCAL.pack(
        LOCAL_MARK, VERSION, flags, info.compress_type, *_clock(info), info.CRC, info.compress_size, info.file_size, len(name), 0,
    ))
    out.write(name)
    out.write(part.data)
    return offset


def _write_central(out: io.BytesIO, part: _Packed, offset: int) -> None:
    info = part.info
    name, flags = _name_and_flags(info)
    out.write(CENTRAL.pack(
        CENTRAL_MARK, info.create_version, info.create_system, VERSION, flags, info.compress_type, *_clock(info), info.CRC,
        info.compress_size, info.file_size, len(name), 0, len(info.comment), 0, info.internal_attr, info.external_attr, offset,
    ))
    out.write(name + info.comment)
