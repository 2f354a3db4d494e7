"""A scanning list as a file, opened by what it holds: text with separators, or a workbook."""

from pathlib import Path

from template_builder.scan.pages import Page, ScanListError
from template_builder.scan.text import text_page
from template_builder.scan.workbooks import WORKBOOK_NAMES, workbook_pages

MEGABYTE = 1_000_000
MOST_FILE = 50 * MEGABYTE

_ZIP, _OLE = b"PK", b"\xd0\xcf\x11\xe0"


def read_pages(path: Path) -> tuple[Page, ...]:
    """Open a list by what it holds, not by its name. ScanListError when it is no list, damaged or too large."""
    data = _bytes_of(path)
    if data.startswith((_ZIP, _OLE)) or path.suffix.lower() in WORKBOOK_NAMES:
        return workbook_pages(path)
    return (text_page(path, data),)


def _bytes_of(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_FILE:
            raise ScanListError(
                path,
                f"the file is larger than {MOST_FILE // MEGABYTE} MB, far more than any scanning "
                "list; copy the list by itself into a new file",
            )
        data = path.read_bytes()
    except OSError as error:
        raise ScanListError(
            path,
            f"the file cannot be opened ({error.strerror}); check its name and folder, and close it in other programs",
        ) from None
    except ValueError:
        raise ScanListError(path, "this cannot be the name of a file; check it") from None
    if not data:
        raise ScanListError(path, "the file is empty; export the list again, or ask for it to be sent again")
    return data

