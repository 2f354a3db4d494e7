"""One cell as several copies have it: taken where they agree, a claim for each where they do not."""

from datetime import datetime, time
from itertools import permutations

import pytest
from seasons import season

from template_builder.layout.columns import NOT_KNOWN, OWN, Value
from workbook.merging.cells import Before, Claim, Settled, settle
from workbook.season.cells import Record


def lambs(*tags: str) -> list[Record]:
    """The same lamb in so many copies, with these tags."""
    return [season(file=f"{number}.xlsx", lambs=[{"ewe": "0412", "lamb_no": 1, "tag": tag}]).rows("lambs")[0]
            for number, tag in enumerate(tags)]


@pytest.mark.parametrize(("tags", "value", "claims"), [
    (("7001", "7001"), "7001", 0), (("b 7", "B 7"), "B 7", 0), (("b 7", "B 7", "b 7"), "B 7", 0), (("7001", "7002"), None, 2),
    (("7001", "", "7002"), None, 2),
])
def test_the_order_of_the_copies_makes_no_difference_to_a_cell(tags: tuple[str, ...], value: Value, claims: int) -> None:
    for given in permutations(tags):
        rows = lambs(*given)
        found = settle("tag", [row for row in rows if row["tag"]], lambda: Before(None, None), lambda row: None)
        assert (value, claims) == (found.value, len(found.claims))


@pytest.mark.parametrize(("before", "tags", "value", "claims"), [
    ("7001", ("7001", "7002"), "7002", 0), ("7001", ("7002", "7003"), "7001", 2), ("7001", ("7001", "7001"), "7001", 0),
    ("7001", ("7002", "7002"), "7002", 0), ("7001", ("7003", "7001", "7002"), "7001", 2), ("b 7", ("B 7", "B 7"), "B 7", 0),
])
def test_the_one_that_was_changed_is_taken(before: str, tags: tuple[str, ...], value: Value, claims: int) -> None:
    found = settle("tag", lambs(*tags), lambda: Before(before, before), lambda row: None)
    assert (value, claims) == (found.value, len(found.claims))


@pytest.mark.parametrize(("sheet", "column", "here", "there", "alike"), [
    ("lambs", "birth_weight", 4.5359237, 4.535924, True), ("lambs", "birth_weight", 4.5359237, 4.535921, False),  # 10 lb
    ("lambing", "waters_seen", datetime(2026, 3, 20, 2, 10), datetime(2026, 3, 20, 2, 10, 59), True),
    ("lambing", "waters_seen", datetime(2026, 3, 20, 2, 10), datetime(2026, 3, 20, 2, 11), False),
    ("lambing", "waters_seen", time(2, 10), time(2, 10, 30), True), ("lambing", "waters_seen", time(2, 10), time(3, 10), False),
    ("lambs", "tag", "b  7", "B 7", True), ("lambs", "notes", "b 7", "B 7", False), ("lambs", f"{OWN}Tag", "b 7", "B 7", False),
    ("lambing", "born_alive", 2, 2, True), ("lambing", "born_alive", 2, 0, False), ("lambing", "born_alive", 0, NOT_KNOWN, False),
    ("lambs", "tag", NOT_KNOWN, "?7", False),
])
def test_what_makes_two_cells_the_same(sheet: str, column: str, here: Value, there: Value, alike: bool) -> None:
    rows = [season(**{sheet: [{"ewe": "0412", column: value}]}).rows(sheet)[0] for value in (here, there)]
    found = settle(column, rows, lambda: Before(None, None), lambda row: None)
    assert (0 if alike else 2) == len(found.claims)


def test_a_claim_says_where_it_is_written_and_who_recorded_it() -> None:
    rows = lambs("7001", "7002", "7001")
    found = settle("tag", rows, lambda: Before(None, None), lambda row: {"0.xlsx": "CD", "2.xlsx": "AB"}.get(row.file))
    assert ["0.xlsx Lambs!E4; 2.xlsx Lambs!E4, by AB and CD", "1.xlsx Lambs!E4"] == [claim.source for claim in found.claims]
    assert "as the merge of May says" == Claim("7001", (), said="as the merge of May says").source


def test_a_cell_blank_in_all_copies_is_blank() -> None:
    assert Settled(None) == settle("notes", lambs("7001", "7002"), lambda: Before("was here", "was here"), lambda row: None)
