"""Hostile and broken files through the commands: read or refused in a sentence, in 10 seconds and 1 GiB, never a traceback."""

import io
import resource
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from string import ascii_uppercase

import pytest
from click.testing import CliRunner
from damage import flock
from damage.case import part_of

from workbook.cli import main

SECONDS, BYTES = 10, 1 << 30
MEGABYTE = 1_000_000
ROOT = Path(__file__).parent.parent

EMPTY_SHEET = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
BOMB = b'<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY a "aaaaaaaaaa">' + b"".join(
    b'<!ENTITY %c "%s">' % (98 + n, (b"&%c;" % (97 + n)) * 10) for n in range(9)) + b"]><worksheet>&j;</worksheet>"
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]><worksheet>&e;</worksheet>'


def repacked(source: Path, changes: Mapping[str, bytes]) -> bytes:
    """The workbook with parts replaced or added; the part of Lambs is called "Lambs"."""
    lambs = part_of(source, "Lambs")
    named = {lambs if name == "Lambs" else name: data for name, data in changes.items()}
    target = io.BytesIO()
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, named.pop(name, None) or old.read(name))
        for name, data in named.items():
            new.writestr(name, data)
    return target.getvalue()


def in_lambs(source: Path, change: Callable[[bytes], bytes]) -> bytes:
    with zipfile.ZipFile(source) as archive:
        return repacked(source, {"Lambs": change(archive.read(part_of(source, "Lambs")))})


def with_rows(source: Path, rows: str) -> bytes:
    """Lambs with more rows at its end."""
    return in_lambs(source, lambda data: data.replace(b"</sheetData>", rows.encode() + b"</sheetData>"))


def cell(source: Path, stored: str) -> bytes:
    """Lambs with the cell F4 stored as given."""
    return with_rows(source, f'<row r="300">{stored}</row>')




# what it is -> bytes made of a sound season, and how the command ends: 2 refused in a sentence, else read
FILES: dict[str, tuple[Callable[[Path], bytes], bool]] = {
    "zip bomb": (lambda path: repacked(path, {"xl/media/a.bin": bytes(500 * MEGABYTE)}), False),
    "sheet of 200 MB": (lambda path: repacked(path, {"Lambs": b"<worksheet>" + b" " * 200 * MEGABYTE}), False),
    "entity bomb": (lambda path: repacked(path, {"Lambs": BOMB}), False),
    "outside entity": (lambda path: repacked(path, {"Lambs": OUTSIDE}), False),
    "climbing part": (lambda path: repacked(path, {"../../evil.xml": b"<a/>"}), False),
    "password": (lambda _: bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"), False),
    "half": (lambda path: path.read_bytes()[:9_000], False),
    "flipped byte": (lambda path: path.read_bytes()[:5_000] + b"\xff\x00\xff" + path.read_bytes()[5_003:], False),
    "zero bytes": (lambda _: b"", False),
    "only zeros": (lambda _: bytes(10_000), False),
    "picture": (lambda _: b"\x89PNG\r\n\x1a\n" + bytes(99), False),
    "no sheet": (lambda path: repacked(path, {"xl/workbook.xml": b"<workbook/>"}), False),
    "no cells": (lambda path: repacked(path, {"Lambs": EMPTY_SHEET.format("").encode()}), True),
    "a million formatted blank rows": (lambda path: with_rows(
        path, "".join(f'<row r="{row}"><c r="A{row}" s="3"/></row>' for row in range(200, 1_000_200))), True),
    "a stray cell in the last corner": (
        lambda path: with_rows(path, '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'), True),
    "10,000 rows with a cell in the last column": (lambda path: with_rows(
        path, "".join(f'<row r="{row}"><c r="XFD{row}"><v>1</v></c></row>' for row in range(200, 10_200))), True),
    "formatted blank cells in the last column": (lambda path: with_rows(
        path, "".join(f'<row r="{row}"><c r="XFD{row}" s="3"/></row>' for row in range(200, 10_200))), True),
    "row 0": (lambda path: with_rows(path, '<row r="0"><c r="A0"><v>1</v></c></row>'), False),
    "row beyond the last": (lambda path: with_rows(path, '<row r="1048577"><c r="A1048577"><v>1</v></c></row>'), False),
    "row that is no number": (lambda path: with_rows(path, '<row r="x"><c r="Ax"><v>1</v></c></row>'), False),
    "column beyond the last": (lambda path: cell(path, '<c r="ZZZZZZZZZZ300"><v>1</v></c>'), False),
    "column in small letters": (lambda path: cell(path, '<c r="f300"><v>1</v></c>'), False),
    "text that is not there": (lambda path: cell(path, '<c r="F300" t="s"><v>99999999</v></c>'), False),
    "text before the first": (lambda path: cell(path, '<c r="F300" t="s"><v>-1</v></c>'), False),
    "number without end": (lambda path: cell(path, '<c r="F300"><v>1e999</v></c>'), True),
    "no number": (lambda path: cell(path, '<c r="F300"><v>nan</v></c><c r="R300" s="9"><v>nan</v></c>'), True),
    "number of 5,000 digits": (lambda path: cell(path, f'<c r="F300"><v>{"9" * 5000}</v></c>'), True),
    "negative style": (lambda path: cell(path, '<c r="F300" s="-1"><v>4</v></c>'), True),
    "style that is not there": (lambda path: cell(path, '<c r="F300" s="99999"><v>4</v></c>'), True),
    "day beyond the calendar": (lambda path: cell(path, '<c r="R300" t="d"><v>99999-99-99</v></c>'), True),
    "moment with a time zone": (lambda path: cell(path, '<c r="R300" t="d"><v>2026-04-03T02:30:00+02:00</v></c>'), True),
    "half a character": (lambda path: cell(path, '<c r="W300" t="inlineStr"><is><t>a_xD800_b_x0000_c</t></is></c>'), True),
    "texts longer than a cell": (lambda path: cell(path, "".join(
        f'<c r="{letter}300" t="inlineStr"><is><t>{letter * 40_000}</t></is></c>' for letter in ascii_uppercase)), True),
    "kind nobody knows": (lambda path: cell(path, '<c r="F300" t="zz"><v>4</v></c>'), True),
}


Run = Callable[..., tuple[int, str]]
# Those that take time or memory run in a process of their own with limits on both.
LARGE = ("zip bomb", "sheet of 200 MB", "a million formatted blank rows", "a stray cell in the last corner",
         "10,000 rows with a cell in the last column", "entity bomb", "texts longer than a cell",
         "formatted blank cells in the last column")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return flock.write(tmp_path_factory.mktemp("hostile") / "whole.xlsx")


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


def bounded(*words: object) -> tuple[int, str]:
    """A command in a process of its own that may use so much time and memory and no more."""
    command = [sys.executable, "-m", "workbook", *map(str, words)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, preexec_fn=_bounded, timeout=120, check=False,
                          env={"OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(ROOT)})
    output = done.stdout + done.stderr
    assert "Traceback" not in output and done.returncode in (0, 1, 2), f"{done.returncode}: {output[-2000:]}"
    return done.returncode, output


def invoked(*words: object) -> tuple[int, str]:
    """A command in this process; what a person would see of it. An exception is a failure."""
    done = CliRunner().invoke(main, [str(word) for word in words])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.output


@pytest.mark.parametrize("command", ["check", "analyse"])
@pytest.mark.parametrize("case", sorted(set(FILES) - set(LARGE)))
def test_a_season_is_read_or_refused(case: str, command: str, whole: Path, tmp_path: Path) -> None:
    _read_or_refused(case, command, whole, tmp_path, invoked)


@pytest.mark.long
@pytest.mark.parametrize("case", LARGE)
def test_a_large_season_is_read_or_refused_in_time(case: str, whole: Path, tmp_path: Path) -> None:
    _read_or_refused(case, "check", whole, tmp_path, bounded)


@pytest.mark.slow
@pytest.mark.parametrize("case", LARGE)
def test_a_large_season_is_analysed_or_refused_in_time(case: str, whole: Path, tmp_path: Path) -> None:
    _read_or_refused(case, "analyse", whole, tmp_path, bounded)


def _read_or_refused(case: str, command: str, whole: Path, tmp_path: Path, run: Run) -> None:
    make, is_read = FILES[case]
    path = tmp_path / "season.xlsx"
    path.write_bytes(make(whole))
    code, output = run(command, path)
    assert is_read is (code != 2), output
    if not is_read:
        assert output.startswith("Error: season.xlsx ") and 1 == output.count("\n")
    assert is_read is (tmp_path / "season-summary.xlsx").exists() or command == "check"


@pytest.mark.long
def test_300_megabytes_are_refused_at_once(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    with path.open("wb") as sparse:
        sparse.truncate(300 * MEGABYTE + 1)
    began = time.monotonic()
    for command in ("check", "analyse", "build"):
        code, output = bounded(command, path)
        assert 2 == code and "season.xlsx" in output
    assert time.monotonic() - began < SECONDS


SCAN = "<row r='1'><c r='A1' t='inlineStr'><is><t>Ewe</t></is></c><c r='B1' t='inlineStr'><is><t>Scanned</t></is></c></row>" \
    "<row r='2'><c r='A2' t='inlineStr'><is><t>0412</t></is></c><c r='B2'><v>2</v></c></row>"


def scan(more: str = "", sheet: bytes | None = None) -> Callable[[Path], bytes]:
    """A scan list of one ewe as a workbook, with more rows."""

    def make(folder: Path) -> bytes:
        from openpyxl import Workbook

        target, changed = io.BytesIO(), io.BytesIO()
        Workbook().save(target)
        with zipfile.ZipFile(target) as old, zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as new:
            for name in old.namelist():
                is_sheet = name == "xl/worksheets/sheet1.xml"
                new.writestr(name, (sheet or EMPTY_SHEET.format(SCAN + more).encode()) if is_sheet else old.read(name))
        return changed.getvalue()

    return make


LARGE_SCANS = ("one long text in 4,000 cells",)
STRINGS_TYPE = b'<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.' \
    b'spreadsheetml.sharedStrings+xml"/>'


def repeated_text(folder: Path) -> bytes:
    """A text is stored once and stands in every cell of a column: small as a file, large where it is told anew each time."""
    cells = "".join(f'<row r="{row}"><c r="A{row}"><v>{row}</v></c><c r="B{row}" t="s"><v>0</v></c></row>'
                    for row in range(3, 4_003))
    strings = f'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>{"x" * 32_000}</t></si></sst>'
    source = folder / "plain.xlsx"
    source.write_bytes(scan(cells)(folder))
    target = io.BytesIO()
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        new.writestr("xl/sharedStrings.xml", strings)
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b"</Types>", STRINGS_TYPE + b"</Types>"))
    return target.getvalue()


SCANS: dict[str, tuple[str, Callable[[Path], bytes], bool]] = {
    "sound": ("xlsx", scan(), True),
    "entity bomb": ("xlsx", scan(sheet=BOMB), False),
    "outside entity": ("xlsx", scan(sheet=OUTSIDE), False),
    "sheet of 200 MB": ("xlsx", scan(sheet=b"<worksheet>" + b" " * 200 * MEGABYTE), False),
    "a million formatted blank rows": ("xlsx", scan(
        "".join(f'<row r="{row}"><c r="A{row}" s="0"/></row>' for row in range(3, 1_000_003))), True),
    "one long text in 4,000 cells": ("xlsx", repeated_text, True),
    "a stray cell in the last corner": ("xlsx", scan('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'), False),
    "10,000 rows with a cell in the last column": ("xlsx", scan(
        "".join(f'<row r="{row}"><c r="XFD{row}"><v>1</v></c></row>' for row in range(3, 10_003))), False),
    "formatted blank cells in the last column": ("xlsx", scan(
        "".join(f'<row r="{row}"><c r="A{row}"><v>{row}</v></c><c r="B{row}"><v>2</v></c><c r="XFD{row}" s="0"/></row>'
                for row in range(3, 303))), True),
    "a formula in the last column": ("xlsx", scan('<row r="3"><c r="XFD3" s="0"><f>1+1</f></c></row>'), False),
    "number without end": ("xlsx", scan('<row r="3"><c r="A3"><v>413</v></c><c r="B3"><v>1e999</v></c></row>'), True),
    "no number": ("xlsx", scan('<row r="3"><c r="A3"><v>nan</v></c><c r="B3"><v>nan</v></c></row>'), True),
    "row 0": ("xlsx", scan('<row r="0"><c r="A0"><v>1</v></c></row>'), False),
    "column beyond the last": ("xlsx", scan('<row r="3"><c r="ZZZZZ3"><v>1</v></c></row>'), False),
    "zero bytes": ("csv", lambda _: b"", False),
    "zeros": ("csv", lambda _: bytes(100_000), False),
    "a line of 5 MB": ("csv", lambda _: b"Ewe,Scanned\n0412,2\n" + b"x" * 5 * MEGABYTE + b",2\n", True),
    "a quote never closed": ("csv", lambda _: b'Ewe,Scanned\n0412,2\n"0413,2\n' + b"1,2\n" * 20_000, True),
    "half a workbook": ("xlsx", lambda folder: scan()(folder)[:3_000], False),
}


@pytest.mark.parametrize("case", [
    pytest.param(case, marks=[pytest.mark.long] if case in (*LARGE, *LARGE_SCANS) else []) for case in SCANS
])
def test_a_scan_list_is_read_or_refused(case: str, tmp_path: Path) -> None:
    ending, make, is_read = SCANS[case]
    path = tmp_path / f"scan.{ending}"
    path.write_bytes(make(tmp_path))
    code, output = (bounded if case in (*LARGE, *LARGE_SCANS) else invoked)("build", path)
    assert code in (0, 1) if is_read else 2 == code
    assert is_read is (tmp_path / "scan-season.xlsx").exists(), output[-2000:]
    assert "scan" in output
