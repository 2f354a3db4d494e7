"""Which workbooks are copies of one: by the animals or groups they share, and by the rows that were laid ready together."""

import pytest
from copies import Rows
from seasons import season

from template_builder.layout.columns import Row
from workbook.merging.flocks import not_copies
from workbook.season.season import Season


def copies(one: Rows, other: Rows) -> list[Season]:
    return [season(file="day.xlsx", **one), season(file="night.xlsx", **other)]


@pytest.mark.parametrize("sheet", ["ewes", "groups"])
@pytest.mark.parametrize(("number", "common", "copies_of_one"), [
    (10, 1, True), (10, 0, False), (11, 1, False), (20, 2, True), (20, 1, False), (21, 2, False),
])
def test_copies_have_a_tenth_of_their_animals_or_groups_in_common(
    sheet: str, number: int, common: int, copies_of_one: bool,
) -> None:
    column = "ewe" if sheet == "ewes" else "group"
    one, other = ({sheet: [{column: f"{'AB'[side] if n >= common else ''}{n}"} for n in range(number)]} for side in (0, 1))
    assert copies_of_one == (not not_copies(copies(one, other)))


@pytest.mark.parametrize(("here", "there", "said"), [
    ({"key": "a", "year": 2025}, {"key": "b", "year": 2026}, "the lambing year on Season is 2025 in one and 2026 in the other"),
    ({"key": "a", "flock": "Hill"}, {"key": "b", "flock": "Low"}, "the flock on Season is Hill in one and Low in the other"),
    ({"key": "a", "flock": "Hill"}, {"key": "b", "flock": "hill "}, ""), ({"key": "a", "year": 2025}, {"key": "b"}, ""),
    ({"key": "a"}, {"key": "b", "year": 2026}, ""), ({"key": "a", "year": 2025}, {"key": "a", "year": 2026}, ""),
    ({"year": 2025}, {"key": "b", "year": 2026}, ""), ({"key": "a", "year": 2025}, {"year": 2026}, ""),
])
def test_copies_of_another_flock_or_year_share_no_row_laid_ready(here: Row, there: Row, said: str) -> None:
    def rows(of: Row) -> Rows:
        settings = [{"row_key": id, "value": of[id]} for id in ("flock", "year") if id in of]
        return {"ewes": [{"ewe": "1", "row_key": of.get("key")}], "season": settings}

    assert said in not_copies(copies(rows(here), rows(there)))
    assert bool(said) == bool(not_copies(copies(rows(here), rows(there))))


@pytest.mark.parametrize("with_ewes", [(), (0,), (1,)])
def test_groups_are_compared_where_a_copy_has_no_ewes(with_ewes: tuple[int, ...]) -> None:
    flocks: list[Rows] = [{"groups": [{"group": "Hill"}]}, {"groups": [{"group": "Low"}]}]
    for number in with_ewes:
        flocks[number]["ewes"] = [{"ewe": "1"}]
    assert "groups they have 0 in common" in not_copies(copies(*flocks))
    assert "" == not_copies(copies(flocks[0], flocks[0]))
