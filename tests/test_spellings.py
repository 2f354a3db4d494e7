"""The words people write for the values of a list: each read as one value, or asked about where it may mean two."""

import pytest

from template_builder.layout import choices as lists
from template_builder.layout.choices import (
    Born,
    Cause,
    Choice,
    Colostrum,
    EweLeft,
    Feet,
    Help,
    LambLeft,
    Mouth,
    Presentation,
    Prolapse,
    RearedBy,
    Sex,
    Teats,
    Trouble,
    Udder,
    WhyHelped,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN
from template_builder.layout.sheets import SHEETS
from template_builder.layout.spellings import folded, meant
from template_builder.layout.whole import column_at
from workbook.reading.parsed import Parsed, Reader
from workbook.reading.parsing import parse

EVERY_LIST = [one for one in vars(lists).values() if isinstance(one, type) and issubclass(one, Choice) and one is not Choice]


def read(address: str, word: str) -> Parsed:
    return parse(column_at(address), word, Reader(2026))


@pytest.mark.parametrize(("address", "value", "words"), [
    ("lambs.sex", Sex.EWE, "E, F, fm, gimmer, gimmer lamb, Gimmer-lamb, ewe lamb"),
    ("lambs.sex", Sex.RAM, "R, T, M, ml, tup, tup lamb, TUP LAMB"),
    ("lambs.sex", Sex.WETHER, "W, wedder"),
    ("lambs.born", Born.DEAD_FRESH, "S/B, SB, S.B., still born, still-born, stillbirth, DOA, D.O.A., dead, Born dead"),
    ("lambs.born", Born.DEAD_DECAYED, "dead - decayed, rotten"),
    ("lambs.born", Born.ALIVE, "live, ok, A"),
    ("lambing.help", Help.NONE, "no, N, unassisted"),
    ("lambing.help", Help.LIGHT, "easy, assisted, pulled, easy pull"),
    ("lambing.help", Help.HARD, "hard pull, difficult"),
    ("lambing.help", Help.CAESAREAN, "C-section, c section, csection, caesar"),
    ("lambing.why_helped", WhyHelped.LAY_WRONG, "leg back, legs back, head back, hung, breech, backwards"),
    ("lambing.why_helped", WhyHelped.LARGE_LAMB, "big lamb, big"),
    ("lambing.colostrum", Colostrum.PLENTY, "good, ok, OK."),
    ("lambing.teats", Teats.SOUND, "good, ok"),
    ("ewe_check.teats", Teats.SOUND, "good, ok"),
    ("ewe_check.udder", Udder.SOUND, "good, ok"),
    ("ewe_check.feet", Feet.SOUND, "good, ok"),
    ("ewe_check.feet", Feet.LAME, "footrot, foot rot, foot-rot"),
    ("lambing.prolapse", Prolapse.VAGINAL, "vag, bearing, vaginal prolapse"),
    ("lambing.prolapse", Prolapse.WOMB, "lamb bed, uterus"),
    ("lambs.reared_by", RearedBy.PET, "pet lamb, orphan, cade, bummer, poddy"),
    ("lambs.reared_by", RearedBy.FOSTER_EWE, "adopted, grafted, fostered, set on"),
    ("lambs.cause", Cause.STARVED, "hypothermia, starvation, mismothered, mis-mothered"),
    ("ewe_check.mouth", Mouth.BROKEN, "BM, broken mouth, broken-mouthed"),
    ("ewe_check.mouth", Mouth.FULL, "full mouth, FM, good"),
    ("ewe_check.trouble", Trouble.SLEEPY, "twin lamb, twin-lamb disease, staggers"),
    ("lambs.left_how", LambLeft.SOLD, "mart, factory, works"),
    ("ewes.left_how", EweLeft.CULLED, "factory, works"),
    ("lambs.presentation", Presentation.HEAD_ONLY, "hung"),
    ("lambs.presentation", Presentation.BREECH, "breech, Breech."),
    ("lambs.presentation", Presentation.LEG_BACK, "leg back, 1 leg back"),
    ("lambs.presentation", Presentation.LEGS_BACK, "legs back, 2 legs back"),
    ("lambs.presentation", Presentation.HIND_LEGS, "backwards, back legs first"),
    ("lambs.presentation", Presentation.NORMAL, "ok, good"),
    ("lambing.all_well", YesNo.YES, "ok, Y, ✓, x"),
])
def test_a_word_of_the_trade_is_read_without_a_remark(address: str, value: Choice, words: str) -> None:
    assert dict.fromkeys(words.split(", "), Parsed(value)) == {word: read(address, word) for word in words.split(", ")}


@pytest.mark.parametrize(("address", "word", "asked"), [
    ("ewes.left_how", "mart", "Left how says “mart”; it may mean “sold” or “culled”: write which"),
    ("ewes.left_how", "Lost", "Left how says “Lost”; it may mean “died” or “missing”: write which"),
    ("lambs.left_how", "gone", "Left how says “gone”; it may mean “sold” or “missing”: write which"),
    ("lambing.help", "yes", "Help given says “yes”; it may mean “light” or “hard” or “vet” or “caesarean”: write which"),
    ("lambing.why_helped", "stuck", "Why helped says “stuck”; it may mean “lay wrong” or “large lamb” "
     "or “narrow”: write which"),
    ("ewe_check.udder", "mastitis", "Udder says “mastitis”; it may mean “lump” or “hard” or “damaged”: write which"),
    ("lambs.helped", "ok", "Helped says “ok”; choose from the list: yes; no"),
    ("lambs.sex", "F/M", "Sex says “F/M”; choose from the list: ewe; ram; wether"),
    ("lambs.sex", "ewe?", "Sex says “ewe?”; choose from the list: ewe; ram; wether"),
    ("lambing.all_well", "-1", "All well says “-1”; choose from the list: yes; no"),
    ("lambing.all_well", "-", "All well says “-”; choose from the list: yes; no"),
])
def test_what_may_mean_two_things_is_asked(address: str, word: str, asked: str) -> None:
    value, fault = read(address, word)[:2]
    assert (NOT_KNOWN, "not-in-the-list", asked) == (value, fault.slug if fault else "", fault.text if fault else "")


@pytest.mark.parametrize("choices", EVERY_LIST, ids=lambda choices: choices.__name__)
def test_no_word_means_two_values_of_a_list_unasked(choices: type[Choice]) -> None:
    plain = [folded(word) for choice in choices for word in (choice.label, *choice.spellings)]
    asked = {folded(word) for choice in choices for word in choice.doubtful}
    assert [] == sorted(word for word in set(plain) if plain.count(word) > 1)
    assert set() == asked & set(plain)
    assert [] == [word for word in asked if len(meant(choices, word)) < 2]
    assert "" not in plain


@pytest.mark.parametrize("choices", EVERY_LIST, ids=lambda choices: choices.__name__)
def test_every_word_is_read_as_the_value_it_stands_beside(choices: type[Choice]) -> None:
    words = {word: choice for choice in choices for word in (choice.label, *choice.spellings)}
    assert {word: (choice,) for word, choice in words.items()} == {word: meant(choices, word.upper()) for word in words}


def test_words_that_say_nothing_in_a_column_are_words_of_its_list() -> None:
    unread = [(column.choices, word) for sheet in SHEETS for column in sheet for word in column.unread]
    assert [(YesNo, "ok")] == unread
    assert [] == [word for choices, word in unread if choices is None or not meant(choices, word)]


@pytest.mark.parametrize(("word", "plain"), [
    ("Still-born.", "stillborn"), ("dead, fresh", "deadfresh"), ("C – section", "csection"), ("don’t know", "dontknow"),
    ("dead?", "dead?"), ("f/m", "f/m"), ("-1", "-1"), (">=", ">="), ("\u00a0tup\u00a0lamb ", "tuplamb"),
])
def test_what_stands_between_letters_says_nothing(word: str, plain: str) -> None:
    assert plain == folded(word)


LITTER = [sheet.address(column) for sheet in SHEETS for column in sheet if column.of_a_litter]


def test_the_lambs_of_one_ewe_may_be_counted_in_words() -> None:
    assert ["ewes.scanned", "lambing.scanned", "lambing.born_alive", "lambing.born_dead", "ewe_check.lambs_at_foot"] == LITTER


@pytest.mark.parametrize("address", LITTER)
@pytest.mark.parametrize(("lambs", "words"), [
    (0, "empty, E, dry, barren, open, nil"), (1, "single, sgl, S, one"), (2, "tw, twins, Tw., TWIN, pair, twin lambs"),
    (3, "trip, triplets, tr"), (4, "quads"),
])
def test_a_number_of_lambs_in_words_is_read_without_a_remark(address: str, lambs: int, words: str) -> None:
    assert dict.fromkeys(words.split(", "), Parsed(lambs)) == {word: read(address, word) for word in words.split(", ")}


@pytest.mark.parametrize(("address", "word", "asked"), [
    ("ewes.scanned", "T", "Scanned says “T”; it may be twins or triplets; write 2 or 3"),
    ("lambing.born_alive", "multi", "Born alive says “multi”; it says more than one but not how many; write the count"),
    ("ewes.scanned", "~", "Scanned says “~”; write a whole number"),
    ("counts.lambs", "twins", "Lambs says “twins”; write a whole number"),
    ("lambing.sides_in_milk", "twins", "Sides in milk says “twins”; write a whole number"),
])
def test_a_word_that_is_no_number_of_lambs_is_asked(address: str, word: str, asked: str) -> None:
    value, fault = read(address, word)[:2]
    assert (NOT_KNOWN, "not-a-whole-number", asked) == (value, fault.slug if fault else "", fault.text if fault else "")


def test_more_lambs_in_words_than_a_column_expects_are_told() -> None:
    fault = read("ewe_check.lambs_at_foot", "seven").fault
    assert ("outside-limits", None) == (fault.slug if fault else "", read("ewe_check.lambs_at_foot", "six").fault)
