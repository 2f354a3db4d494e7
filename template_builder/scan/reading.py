"""Any scanning list: by ewe, or a tally by group, told apart by what its headings name."""

from collections.abc import Mapping
from pathlib import Path

from template_builder.scan.by_ewe import ScanList, check_order, scan_list_of
from template_builder.scan.columns import TALLY_COLUMNS, TALLY_LABELS
from template_builder.scan.ewe_columns import LABELS
from template_builder.scan.files import read_pages
from template_builder.scan.headings import find_headings, find_tally, known_targets, written_columns
from template_builder.scan.tally import TallyList, tally_list_of


def parse_columns(text: str) -> dict[str, str]:
    """Read "Their heading=ewe,..." for a list by ewe, or "Their heading=twins,..." for a tally by group.

    ValueError, in one sentence, when it cannot be read or names a column that neither of them has.
    """
    written = written_columns(text)
    try:
        return known_targets(written)
    except ValueError:
        try:
            return known_targets(written, TALLY_COLUMNS)
        except ValueError:
            pass
        raise


def read_list(
    path: Path, *, columns: Mapping[str, str] | None = None, dates: str | None = None, year: int | None = None,
) -> ScanList | TallyList:
    """Read a scanning list, by ewe where it has a column for the ewe, else as a tally where it has groups and tallies.

    Arguments and errors are those of `read_scan_list`; `columns` may name those of a tally ("Barren": "empty").
    """
    given = columns or {}
    check_order(dates)
    by_ewe, by_group = set(given.values()) <= LABELS.keys(), set(given.values()) <= TALLY_LABELS.keys()
    pages = read_pages(path)
    a_tally = by_group and any(find_tally(page.lines, given) for page in pages)
    if by_ewe and not (a_tally and not any(find_headings(page.lines, given) for page in pages)):
        return scan_list_of(path, pages, given, dates, year)
    return tally_list_of(path, pages, known_targets(given, TALLY_COLUMNS), dates, year)
