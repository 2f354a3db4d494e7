"""One cell, one value: each kind of column with what people type, at the ends of every limit."""

import math
from datetime import date, datetime, time

import pytest

from template_builder.files.stored import EPOCH, EPOCH_1904
from template_builder.layout.choices import Born, DateOrder
from template_builder.layout.columns import NOT_KNOWN, Column, Kind, Value
from template_builder.layout.whole import SHEET
from workbook.reading.parsed import Parsed, Reader
from workbook.reading.parsing import parse, parse_setting

READER = Reader(year=2026)
DAY = SHEET["lambing"].column("lambed_on")
MOMENT = SHEET["lambing"].column("waters_seen")
TAG = SHEET["ewes"].column("ewe")
WHOLE = SHEET["lambing"].column("sides_in_milk")
KG = SHEET["weights"].column("kg")


def found(column: Column, raw: object, reader: Reader = READER) -> tuple[Value, str]:
    """The value, and the slug of the remark."""
    parsed = parse(column, raw, reader)
    return parsed.value, parsed.fault.slug if parsed.fault else ""


@pytest.mark.parametrize(("raw", "value"), [
    (None, None), ("", None), ("  ", None), ("\u00a0", None), ("\u200b\u200c\u200d\u2060\ufeff\u00ad", None), ("?", NOT_KNOWN),
    (" ? ", NOT_KNOWN),
])
@pytest.mark.parametrize("column", [DAY, MOMENT, TAG, WHOLE, KG], ids=lambda column: column.id)
def test_blank_and_not_known_are_two_things_in_every_column(column: Column, raw: object, value: Value) -> None:
    assert (value, "") == found(column, raw)


@pytest.mark.parametrize("unseen", list("\u200b\u200c\u200d\u2060\ufeff\u00ad"))
def test_characters_without_width_are_taken_out(unseen: str) -> None:
    assert ("0412", "") == found(TAG, f"{unseen}04{unseen}12")


LOST = (NOT_KNOWN, "tag-digits-lost")


@pytest.mark.parametrize(("raw", "expected"), [
    ("0412", ("0412", "")), ("'0412", ("0412", "")), ('"0412"', ("0412", "")), ("\u20180412\u2019", ("0412", "")),
    ("A'1", ("A'1", "")), ("'Red'", ("'Red'", "")), (412, ("412", "")), (412.0, ("412", "")), (4.5, ("4.5", "")),
    ("8,26E+14", LOST), ("8.26e14", LOST), ("8E+14", LOST), ("8E14", ("8E14", "")),
    (826_012_345_600_045, ("826012345600045", "")), (8_260_123_456_000_451, LOST),  # 15 and 16 digits
    (99_999_000_000, ("99999000000", "")), (999_999_000_000, LOST), (999_990_000_000, LOST),  # 11 and 12 digits
    (999_999_900_000, ("999999900000", "")), (999_999_000_001, ("999999000001", "")),  # five zeros; not at the end
    (True, (NOT_KNOWN, "not-a-tag")), (date(2026, 3, 1), (NOT_KNOWN, "not-a-tag")), (time(3), (NOT_KNOWN, "not-a-tag")),
])
def test_tags(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(TAG, raw)


NO_NUMBER = (NOT_KNOWN, "not-a-number")


@pytest.mark.parametrize(("raw", "expected"), [
    (24, (24.0, "")), (24.5, (24.5, "")), ("24,5", (24.5, "number-as-text")), ("24.5 kg", (24.5, "number-as-text")),
    ("24.5 KG.", (24.5, "number-as-text")), ("+24", (24.0, "number-as-text")), ("1,250", NO_NUMBER), ("24 days", NO_NUMBER),
    ("12 %", NO_NUMBER), ("about 24", NO_NUMBER), (True, NO_NUMBER), (date(2026, 3, 1), NO_NUMBER), ("9" * 400, NO_NUMBER),
])
def test_numbers(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(KG, raw)


def limits() -> list[tuple[Column, float, bool]]:
    """Every limit of every column of numbers: just inside, on and just outside."""
    columns = [column for sheet in SHEET.values() for column in sheet.own_columns if column.kind in (Kind.WHOLE, Kind.NUMBER)]
    steps = [(column, end, way, 1 if column.kind is Kind.WHOLE else 0.1) for column in columns
             for end, way in ((column.least, -1), (column.most, 1)) if end is not None]
    return [(column, end + way * step * offset, offset > 0) for column, end, way, step in steps for offset in (-1, 0, 1)]


@pytest.mark.parametrize(("column", "value", "outside"), [
    pytest.param(*one, id=f"{one[0].id} {one[1]:g} {number}") for number, one in enumerate(limits())])
def test_a_number_outside_the_limits_stands_and_is_told(column: Column, value: float, outside: bool) -> None:
    others_end = column.most if column.least is not None and value <= column.least + 1 else column.least
    if others_end is None or column.least is None or column.most is None or column.least + 1 < column.most:
        assert (value, "outside-limits" if outside else "") == found(column, value)


@pytest.mark.parametrize(("raw", "expected"), [
    (2, (2, "")), (2.0, (2, "")), (1.5, (NOT_KNOWN, "not-a-whole-number")), ("1.5", (NOT_KNOWN, "not-a-whole-number")),
    ("2", (2, "number-as-text")), ("two", (NOT_KNOWN, "not-a-whole-number")), (3, (3, "outside-limits")),
])
def test_whole_numbers(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(WHOLE, raw)


NO_DATE = (NOT_KNOWN, "not-a-date")


@pytest.mark.parametrize(("raw", "expected"), [
    (date(2026, 3, 12), (date(2026, 3, 12), "")), (datetime(2026, 3, 12, 4), (date(2026, 3, 12), "")),
    (date(1994, 12, 31), NO_DATE), (date(1995, 1, 1), (date(1995, 1, 1), "")), (date(2099, 12, 31), (date(2099, 12, 31), "")),
    (date(2100, 1, 1), NO_DATE), (datetime(1994, 12, 31), NO_DATE), (datetime(1995, 1, 1), (date(1995, 1, 1), "")),
    ("12 Mar 2026", (date(2026, 3, 12), "date-as-text")), ("31/2/2026", NO_DATE),
    ("31 Dec 2099", (date(2099, 12, 31), "date-as-text")),
    ("1 Jan 2100", NO_DATE), (45000, NO_DATE), (time(3), NO_DATE), ("soon", NO_DATE),
    ("12 Mar", (date(2026, 3, 12), "date-as-text")), ("31 Aug", (date(2026, 8, 31), "date-as-text")),
    ("1 Sep", (date(2025, 9, 1), "date-as-text")), ("31 Dec", (date(2025, 12, 31), "date-as-text")),
])
def test_dates(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(DAY, raw)


WEIGHED = SHEET["weights"].column("date")


@pytest.mark.parametrize(("column", "raw", "told"), [
    (DAY, "15/3", "15 Mar 2026"), (DAY, "15/3 23:59", "15 Mar 2026 23:59"),
    (DAY, "15/3 24:00", "15 Mar 2026; the time was left out"), (MOMENT, "15/3 3am", "15 Mar 2026 03:00"),
    (WEIGHED, "15/3", "15 Mar 2026"), (WEIGHED, "15/3 3am", "15 Mar 2026; the time was left out"),
    (WEIGHED, "15/3 2.30", "15 Mar 2026; the time was left out"), (WEIGHED, "15/3 25:10", "15 Mar 2026; the time was left out"),
])
def test_a_time_beside_a_day_is_read_where_the_sheet_keeps_it_and_else_said_to_be_left_out(
    column: Column, raw: str, told: str,
) -> None:
    fault = parse(column, raw, READER).fault
    assert fault and fault.text.endswith(f" as {told}")


@pytest.mark.parametrize(("order", "day"), [(DateOrder.DMY, date(2026, 3, 4)), (DateOrder.MDY, date(2026, 4, 3))])
def test_written_dates_run_as_the_farm_says(order: DateOrder, day: date) -> None:
    assert (day, "date-as-text") == found(DAY, "4/3/2026", Reader(2026, order))


def test_a_date_without_a_year_needs_the_lambing_year() -> None:
    assert NO_DATE == found(DAY, "12 Mar", Reader())


@pytest.mark.parametrize(("raw", "expected"), [
    (time(2, 30), (time(2, 30), "")), (datetime(2026, 3, 12, 2, 30), (datetime(2026, 3, 12, 2, 30), "")),
    (date(2026, 3, 12), (datetime(2026, 3, 12), "")), (datetime(1994, 12, 31), NO_DATE),
    (datetime(1995, 1, 1), (datetime(1995, 1, 1), "")), (2.5, NO_DATE), (date(1994, 12, 31), NO_DATE),
    (datetime(2099, 12, 31, 23), (datetime(2099, 12, 31, 23), "")), (datetime(2100, 1, 1), NO_DATE), (date(2100, 1, 1), NO_DATE),
    ("02:30", (time(2, 30), "")), ("2.30", (time(2, 30), "")), ("2h30", (time(2, 30), "")), ("23:59", (time(23, 59), "")),
    ("24:00", NO_DATE), ("02:60", NO_DATE), ("2 am", (time(2), "")), ("12 am", (time(0), "")), ("12 pm", (time(12), "")),
    ("12:05 am", (time(0, 5), "")), ("1 pm", (time(13), "")), ("11.30PM", (time(23, 30), "")), ("13 pm", NO_DATE),
    ("0 am", NO_DATE),
    ("12 Mar 2026 02:30", (datetime(2026, 3, 12, 2, 30), "date-as-text")),
    ("12 Mar 2026 at 2 pm", (datetime(2026, 3, 12, 14), "date-as-text")),
    ("2026-03-12T02:30", (datetime(2026, 3, 12, 2, 30), "date-as-text")),
    ("12 Mar 2026", (datetime(2026, 3, 12), "date-as-text")), ("12 Mar 2026 25:00", NO_DATE), ("tonight", NO_DATE),
])
def test_moments(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(MOMENT, raw)


BARE = Reader(year=2026, bare_days=EPOCH)


@pytest.mark.parametrize(("raw", "expected"), [
    (34_699, NO_DATE), (34_700, (date(1995, 1, 1), "")), (34_701, (date(1995, 1, 2), "")),
    (73_049, (date(2099, 12, 30), "")), (73_050, (date(2099, 12, 31), "")), (73_051, NO_DATE),
    (46_113.25, (date(2026, 4, 1), "")),
    (0, NO_DATE), (4.5, NO_DATE), (-1, NO_DATE), (20_260_401, NO_DATE), (True, NO_DATE), (math.inf, NO_DATE), (math.nan, NO_DATE),
])
def test_a_bare_number_is_a_date_where_no_date_of_the_file_looks_like_one(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(DAY, raw, BARE)


@pytest.mark.parametrize(("raw", "expected"), [
    (0, (time(0), "")), (0.25, (time(6), "")), (0.999, (time(23, 58, 33, 600_000), "")), (1, NO_DATE), (1.25, NO_DATE),
    (34_699.9, NO_DATE), (34_700, (datetime(1995, 1, 1), "")), (46_113.75, (datetime(2026, 4, 1, 18), "")), (True, NO_DATE),
])
def test_a_bare_number_is_a_moment_where_no_date_of_the_file_looks_like_one(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(MOMENT, raw, BARE)


def test_bare_numbers_are_counted_from_where_the_workbook_counts() -> None:
    assert (date(2026, 4, 1), "") == found(DAY, 46_113 - 1_462, Reader(bare_days=EPOCH_1904))


def test_a_bare_number_stays_a_number_elsewhere() -> None:
    assert [(46_113.0, "outside-limits"), ("46113", "")] == [found(column, 46_113, BARE) for column in (KG, TAG)]


@pytest.mark.parametrize(("raw", "expected"), [
    ("alive", (Born.ALIVE, "")), (" Dead, Fresh ", (Born.DEAD_FRESH, "")), ("living dead", (NOT_KNOWN, "not-in-the-list")),
    (1, (NOT_KNOWN, "not-in-the-list")),
])
def test_list_values(raw: object, expected: tuple[Value, str]) -> None:
    assert expected == found(SHEET["lambs"].column("born"), raw)


def test_per_cent_is_a_number_where_the_column_is_in_per_cent_or_a_share() -> None:
    loss, conception = parse_setting("target_loss", "12 %", READER), parse_setting("conception", "70 %", READER)
    assert (Parsed(12.0), Parsed(0.7)) == (loss, conception)


@pytest.mark.parametrize(("written", "value", "told"), [
    ("12", 12.0, "number-as-text"), ("12 %", 12.0, ""), ("12 lb", NOT_KNOWN, "not-a-number"),
])
def test_a_column_in_per_cent_takes_no_other_unit(written: str, value: Value, told: str) -> None:
    parsed = parse_setting("target_loss", written, READER)
    assert (value, told) == (parsed.value, parsed.fault.slug if parsed.fault else "")
