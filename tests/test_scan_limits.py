"""The limits by which columns of a scanning list are judged, each just inside, on and just outside."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.styles import PatternFill

from template_builder.scan.by_ewe import ScanList, ScanListError, read_scan_list
from template_builder.scan.colours import counts_seem_colours
from template_builder.scan.numbers import electronic, ewe_key, plain, with_thousands


def listed(folder: Path, *lines: str) -> ScanList:
    path = folder / "list.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_scan_list(path)


@pytest.mark.parametrize(("lines", "read"), [(2, False), (3, True), (4, True)])
def test_a_list_without_headings_is_known_by_three_lines(tmp_path: Path, lines: int, read: bool) -> None:
    rows = [f"{101 + number},2" for number in range(lines)]
    if read:
        assert lines == len(listed(tmp_path, *rows).rows)
    else:
        with pytest.raises(ScanListError, match="no line near the top"):
            listed(tmp_path, *rows)


@pytest.mark.parametrize(("good", "read"), [(7, False), (8, True), (9, True)])
def test_four_in_five_counts_make_a_column_of_counts(tmp_path: Path, good: int, read: bool) -> None:
    rows = [f"{101 + number},{2 if number < good else 'odd'}" for number in range(10)]
    if read:
        assert (10, 10 - good) == (len(listed(tmp_path, *rows).rows), len(listed(tmp_path, *rows).unplaced))
    else:
        with pytest.raises(ScanListError, match="no line near the top"):
            listed(tmp_path, *rows)


@pytest.mark.parametrize(("length", "asked"), [(7, True), (8, True), (9, False)])
def test_a_short_number_has_eight_characters_at_most(tmp_path: Path, length: int, asked: bool) -> None:
    rows = [f"82601234560000{number},{'A' * (length - 1)}{number},2" for number in (1, 2)]
    assert asked == any("has a short number" in left.reason for left in listed(tmp_path, "Tag,Nick,Lambs", *rows).unplaced)


@pytest.mark.parametrize(("filled", "asked"), [(3, False), (4, True), (5, True)])
def test_a_short_number_stands_beside_four_in_five_ewes(tmp_path: Path, filled: int, asked: bool) -> None:
    rows = [f"82601234560000{number},{f'A{number}' if number < filled else ''},2" for number in range(5)]
    assert asked == any("has a short number" in left.reason for left in listed(tmp_path, "Tag,Nick,Lambs", *rows).unplaced)


@pytest.mark.parametrize(("ewes", "electronic_"), [(1, False), (2, True), (3, True)])
def test_two_electronic_numbers_make_a_column_of_them(tmp_path: Path, ewes: int, electronic_: bool) -> None:
    rows = [f"82601234560000{number},{number + 7},2" for number in range(ewes)]
    found = listed(tmp_path, "Tag,Visual,Lambs", *rows)
    assert ("7" if electronic_ else "826012345600000") == found.rows[0].ewe


# ISO 11784: 15 digits, the first three a country (ISO 3166-1 numeric, 004 the lowest) or a maker (to 998; 999 is for tests).
@pytest.mark.parametrize(("text", "digits"), [
    ("82601234560000", None), ("826012345600001", "826012345600001"), ("8260123456000012", None),
    ("0826012345600001", "826012345600001"), ("003012345600001", None), ("004012345600001", "004012345600001"),
    ("005012345600001", "005012345600001"), ("997012345600001", "997012345600001"), ("998012345600001", "998012345600001"),
    ("999012345600001", None), ("826 0123456 00001", "826012345600001"), ("826-0123456-00001", "826012345600001"),
    ("826,012345600001", "826012345600001"), ("UK0123456 00001", "826012345600001"), ("UK 826012345600001", "826012345600001"),
    ("IE 012345600001", "372012345600001"), ("XX 012345600001", None), ("UK 12345600001", None), ("0412", None), ("", None),
])
def test_an_electronic_number_in_its_print_forms(text: str, digits: str | None) -> None:
    assert digits == electronic(text)
    assert (digits or "".join(text.casefold().split())) == ewe_key(text)


@pytest.mark.parametrize(("text", "number"), [
    ("101.0", "101"), ("101,00", "101"), ("101.5", "101.5"), ("0101.0", "0101"), ("1,000", "1,000"), ("101", "101"),
    ("A1.0", "A1.0"),
    ("826 0123456 00001", "826012345600001"), ("UK 0123456 00001", "UK 0123456 00001"),
])
def test_decimals_a_program_added_go(text: str, number: str) -> None:
    assert number == plain(text)


@pytest.mark.parametrize(("text", "asked"), [
    ("1,04", False), ("1,042", True), ("1,0423", False), ("1.042", True), ("1,042,337", True), ("1042", False),
    ("826,012,345,600,001", False),
])
def test_thousands_are_asked(text: str, asked: bool) -> None:
    assert asked == with_thousands(text)


def filled(folder: Path, colours: list[str]) -> Path:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(["Ewe"])
    for at, colour in enumerate(colours, 2):
        sheet.cell(at, 1, at).fill = PatternFill("solid", fgColor=colour)
    path = folder / "list.xlsx"
    book.save(path)
    return path


def colour_cases() -> Iterator[tuple[int, int, bool]]:
    yield from ((2, 2, False), (3, 2, True), (4, 2, True))  # cells
    yield from ((9, 1, False), (9, 3, True), (9, 7, True), (9, 8, True), (9, 9, False))  # colours


@pytest.mark.parametrize(("cells", "colours", "seen"), list(colour_cases()))
def test_colours_that_seem_counts(tmp_path: Path, cells: int, colours: int, seen: bool) -> None:
    path = filled(tmp_path, [f"FF000{number % colours}" for number in range(cells)])
    assert seen == counts_seem_colours(path)


def test_text_has_no_colours(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Ewe\n101\n", encoding="utf-8")
    assert not counts_seem_colours(path)
