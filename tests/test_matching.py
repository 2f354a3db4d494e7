"""Which ewe a number means: the same number first, then another number of hers, then all but zeros; two that fit are none."""

import pytest
from seasons import records

from workbook.season.matching import EweNames, How, fold, fold_tag, lamb_name

FLOCK = [
    {"ewe": "0412"}, {"ewe": "412"}, {"ewe": "0500", "official_tag": "UK 0123456 00045"}, {"ewe": "B7", "also_known_as": "red 7"},
    {"ewe": "0B8"}, {"ewe": "900", "also_known_as": "77"}, {"ewe": "901", "also_known_as": "77"}, {"official_tag": "999"},
]


@pytest.mark.parametrize(("written", "key", "how"), [
    ("0412", "0412", How.SAME), ("412", "412", How.SAME), (" 0412 ", "0412", How.SAME), ("b7", "b7", How.SAME),
    ("00412", "00412", How.TWO_FIT),  # 0412 or 412: nobody can say
    ("500", "0500", How.ZEROS), ("00500", "0500", How.ZEROS), ("0900", "900", How.ZEROS),
    ("B8", "b8", How.UNKNOWN),  # zeros are dropped from numbers alone
    ("RED-7", "b7", How.ALIAS), ("826012345600045", "0500", How.ALIAS), ("77", "77", How.TWO_FIT),
    ("4120", "4120", How.UNKNOWN), ("999", "999", How.UNKNOWN),
])
def test_the_ewe_a_number_means(written: str, key: str, how: How) -> None:
    names = EweNames.of(records("ewes", FLOCK))
    assert [(key, how)] * 2 == [(found.key, found.how) for found in (names.match(written), names.match(written))]


def test_a_number_is_found_unless_it_fits_two_or_none() -> None:
    names = EweNames.of(records("ewes", FLOCK))
    assert [True, True, True, False, False] == [names.match(one).found for one in ("0412", "500", "red7", "00412", "1")]


@pytest.mark.parametrize(("one", "other", "alike"), [
    ("A\u00a0 1", "a 1", True), ("A1", "A 1", False), ("0412", "412", False), ("A-1", "A1", False),
    ("the \u2019s", "the 's", True),
])
def test_numbers_are_alike_but_for_spaces_case_and_quotes(one: str, other: str, alike: bool) -> None:
    assert alike == (fold(one) == fold(other))


@pytest.mark.parametrize(("one", "other", "alike"), [
    ("UK 0 123456 00045", "UK 123456 00045", True), ("0826012345600045", "826012345600045", True),
    ("UK012345600045", "826012345600045", True), ("IE 1234567 00045", "372123456700045", True),
    ("GB12345600045", "UK12345600045", True),
    ("UK1234560004", "8261234560004", False),  # ten digits are no tag
    ("UK0123456000451", "8260123456000451", False), ("FR12345600045", "826012345600045", False),
    ("0412", "412", False),  # only a full number of sixteen digits has a leading nought to drop
    ("082601234560004", "82601234560004", False), ("08260123456A0045", "8260123456A0045", False),
])
def test_official_tags_are_alike_however_they_are_written(one: str, other: str, alike: bool) -> None:
    assert alike == (fold_tag(one) == fold_tag(other))


@pytest.mark.parametrize(("written", "expected"), [
    ("1042-2", ("1042", 2)), (" 1042 / 2 ", ("1042", 2)), ("A-1-3", ("A-1", 3)), ("1042-12", None), ("1042", None), ("-2", None),
])
def test_a_lamb_is_called_by_its_ewe_and_its_number(written: str, expected: tuple[str, int] | None) -> None:
    assert expected == lamb_name(written)


@pytest.mark.parametrize(("written", "keys"), [
    ("0412", ("0412",)), ("00412", ("0412", "412")), ("77", ("900", "901")), ("red7", ("b7",)), ("0B8", ("0b8",)), ("B8", ()),
    ("1", ()),
])
def test_all_ewes_a_number_may_mean_and_the_one_of_that_very_number_alone(written: str, keys: tuple[str, ...]) -> None:
    assert keys == EweNames.of(records("ewes", FLOCK)).fitting(written)
