"""Aliases: one for each name as the program matches it, in the order they are met."""

import pytest

from workbook.season.matching import fold
from workbook.sharing.aliases import Aliases, lettered, numbered
from workbook.sharing.key import Named


@pytest.mark.parametrize(("number", "alias"), [
    (1, "Group A"), (25, "Group Y"), (26, "Group Z"), (27, "Group AA"), (52, "Group AZ"), (53, "Group BA"), (702, "Group ZZ"),
    (703, "Group AAA"),
])
def test_letters_go_on_after_z(number: int, alias: str) -> None:
    assert alias == lettered("Group")(number)


@pytest.mark.parametrize(("number", "alias"), [(1, "E001"), (999, "E999"), (1000, "E1000")])
def test_numbers_have_three_figures_and_more(number: int, alias: str) -> None:
    assert alias == numbered("E")(number)
    assert "L0001" == numbered("L", 4)(1)


def test_names_are_given_in_the_order_they_are_met_and_no_word_taken_is() -> None:
    ewes = Aliases("ewe", numbered("E"), taken={fold("E002")})
    assert ["E001", "E003", "E001"] == [ewes.of(name) for name in ("Old 1", "Old 2", "old 1")]
    assert (True, False) == (ewes.knows("OLD 2"), ewes.knows("Old 3"))


def test_names_left_as_they_are_have_no_alias() -> None:
    ewes = Aliases("ewe", numbered("E"), keep=True)
    assert ("Old 1", {}) == (ewes.of("Old 1"), ewes.given)


def test_aliases_of_an_earlier_copy_are_taken_over_by_kind() -> None:
    ewes = Aliases("ewe", numbered("E"), taken={"e001"})
    ewes.met_before([Named("ewe", "E001", "0412"), Named("group", "Group A", "0415"), Named("ewe", "E009", "0412")])
    assert ["E001", "E002"] == [ewes.of("0412"), ewes.of("0415")]
