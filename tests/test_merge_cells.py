"""One cell as several copies have it: taken where they agree, a claim for each where they do not."""

from itertools import permutations

import pytest
from seasons import season

from template_builder.layout.columns import Value
from workbook.merging.cells import Before, settle
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
])
def test_the_one_that_was_changed_is_taken(before: str, tags: tuple[str, ...], value: Value, claims: int) -> None:
    found = settle("tag", lambs(*tags), lambda: Before(before, before), lambda row: None)
    assert (value, claims) == (found.value, len(found.claims))
