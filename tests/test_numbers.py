"""Numbers that name nothing: which known ones are offered as similar."""

import pytest

from workbook.rules.checks.numbers import Known


@pytest.mark.parametrize("written", [
    "412", "0412", "0 412", "012", "042", "041",  # as it is; one character missing
    "40412", "04412", "04122",  # one added
    "1412", "0422", "0410",  # one mistaken
    "4012", "0142", "0421",  # two neighbours swapped
])
def test_a_number_one_slip_away_is_offered(written: str) -> None:
    assert "; similar: 0412" == Known.of(["0412", "7000"]).near(written)


@pytest.mark.parametrize("written", ["12", "001412", "1402", "2410", "0412" * 11])
def test_one_two_slips_away_is_not(written: str) -> None:
    assert "" == Known.of(["0412", "7000"]).near(written)


def test_three_similar_numbers_are_shown_and_no_fourth() -> None:
    known = Known.of(["0411", "0412", "0413", "0414"])
    assert "; similar: 0411, 0412, 0413" == known.near("041")
