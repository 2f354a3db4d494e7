"""A ewe's season in one line: what is told, in which order, and what is left out."""

from datetime import date

import pytest
from ewes_tonight import NIGHT, check, lamb, lambing
from seasons import season

from template_builder.layout.choices import (
    Born,
    EweLeft,
    Feet,
    Help,
    Mouth,
    Prolapse,
    RearedBy,
    Taken,
    Teats,
    Trouble,
    Udder,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Row
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.scores.litter_weight import LitterWeight, litter_weights


def test_her_season_in_one_line() -> None:
    records = season(
        ewes=[{"ewe": "A", "scanned": 3}],
        lambing=[lambing(help=Help.LIGHT, why_helped=WhyHelped.LAY_WRONG, sides_in_milk=1, teats=Teats.LARGE)],
        lambs=[lamb(1, taken=Taken.YES, birth_weight=4.0), lamb(2, taken=Taken.REFUSED, reared_by=RearedBy.PET,
               why_moved=WhyMoved.REFUSED), lamb(3, born=Born.MUMMIFIED)],
        ewe_check=[check(date(2026, 6, 20), udder=Udder.SOUND)],
    )
    expected = (
        "Scanned 3; lambed on 12 Mar 2026: 2 alive, 1 mummified; help light (lay wrong); 1 of 2 sides in milk at lambing; "
        "large teats; lamb A-2 moved: refused; 1 with her; check 20 Jun 2026: udder sound."
    )
    assert expected == season_in_words(records.flock.ewes["a"], litter_weights(records).get("a"))


@pytest.mark.parametrize(("litter", "words"), [
    (LitterWeight("a", 61.24, 2, "", ()), "reared 2, 61.2 kg at weaning age"), (LitterWeight("a", None, 2, "", ()), "2 with her"),
    (None, "2 with her"),
])
def test_what_she_reared_is_told_in_kg_where_all_of_it_was_weighed(litter: LitterWeight | None, words: str) -> None:
    ewe = season(lambing=[lambing()], lambs=[lamb(1), lamb(2)]).flock.ewes["a"]
    assert f"Lambed on 12 Mar 2026: 2 alive; {words}." == season_in_words(ewe, litter)


def test_looks_tell_first_what_was_wrong_and_then_what_was_sound() -> None:
    records = season(ewe_check=[
        check(date(2026, 6, 20), udder=Udder.SOUND, teats=Teats.SOUND, mouth=Mouth.BROKEN, feet=Feet.LAME, trouble=Trouble.LAME),
        check(date(2026, 8, 12), trouble=Trouble.THIN, mouth=Mouth.FULL),
    ])
    expected = "Check 20 Jun 2026: mouth broken, feet lame, udder, teats sound; check 12 Aug 2026: thin, mouth sound."
    assert expected == season_in_words(records.flock.ewes["a"])


def test_looks_in_a_row_that_found_the_same_are_told_together_and_days_of_the_year_above_without_it() -> None:
    looks = [check(date(2026, month, 20), feet=feet) for month, feet in
             ((4, Feet.LAME), (5, Feet.LAME), (6, Feet.SOUND), (7, Feet.LAME), (8, Feet.BADLY_LAME))]
    ewe = season(ewe_check=[*looks, check(date(2025, 12, 1), feet=Feet.LAME)]).flock.ewes["a"]
    assert "Check 1 Dec 2025, 20 Apr, 20 May and 20 Jul: feet lame; check 20 Aug: feet badly lame." == (
        season_in_words(ewe, sound=False, year=2026))


@pytest.mark.parametrize(("cells", "words"), [
    ({"help": Help.HARD}, "; help hard"), ({"why_helped": WhyHelped.SLOW}, "; help given (slow)"), ({"help": Help.NONE}, ""),
    ({"help": Help.HARD, "why_helped": WhyHelped.SLOW}, "; help hard (slow)"), ({"sides_in_milk": 2}, ""),
    ({"sides_in_milk": 1, "sides_next_day": 0}, "; 1 of 2 sides in milk at lambing; 0 of 2 sides in milk next day"),
    ({"teats": Teats.SOUND, "prolapse": Prolapse.NONE}, ""), ({"prolapse": Prolapse.WOMB}, "; womb prolapse"),
])
def test_only_what_is_out_of_the_ordinary_is_told_of_her_lambing(cells: Row, words: str) -> None:
    assert f"Lambed on 12 Mar 2026{words}." == season_in_words(season(lambing=[lambing(**cells)]).flock.ewes["a"])


@pytest.mark.parametrize(("cells", "told"), [
    ({"taken": Taken.YES}, ""), ({"taken": Taken.SLOWLY}, "lamb A-1 taken slowly; "),
    ({"taken": Taken.REFUSED}, "lamb A-1 refused; "),
    ({"taken": Taken.REFUSED, "why_moved": WhyMoved.NO_MILK}, "lamb A-1 refused, moved: no milk; "),
    ({"taken": Taken.REFUSED, "why_moved": WhyMoved.REFUSED}, "lamb A-1 moved: refused; "),
])
def test_that_she_refused_a_lamb_is_told_once(cells: Row, told: str) -> None:
    ewe = season(lambing=[lambing()], lambs=[lamb(**cells)]).flock.ewes["a"]
    assert f"Lambed on 12 Mar 2026: 1 alive; {told}1 with her." == season_in_words(ewe)


def test_a_trouble_is_told_before_what_else_was_wrong() -> None:
    ewe = season(ewe_check=[check(date(2026, 8, 12), trouble=Trouble.THIN, mouth=Mouth.BROKEN, feet=Feet.LAME)]).flock.ewes["a"]
    assert "Check 12 Aug 2026: thin, mouth broken, feet lame." == season_in_words(ewe)


def test_a_ewe_badly_lame_is_not_called_lame_as_well() -> None:
    told = {feet: season_in_words(season(ewe_check=[check(trouble=Trouble.LAME, feet=feet)]).flock.ewes["a"]) for feet in Feet}
    assert {Feet.SOUND: "Check 12 Mar 2026: lame, feet sound.", Feet.LAME: "Check 12 Mar 2026: feet lame.",
            Feet.BADLY_LAME: "Check 12 Mar 2026: feet badly lame."} == told


@pytest.mark.parametrize(("cells", "line"), [
    ({"left_on": NIGHT, "left_how": EweLeft.SOLD}, "Sold on 12 Mar 2026."), ({"left_how": EweLeft.DIED}, "Died."),
    ({"left_on": NIGHT}, "Left on 12 Mar 2026."), ({"scanned": 0}, "Scanned empty."), ({"scanned": 2}, "Scanned 2."),
])
def test_how_her_season_began_and_ended(cells: Row, line: str) -> None:
    assert line == season_in_words(season(ewes=[{"ewe": "A", **cells}]).flock.ewes["a"])


def test_a_ewe_without_records_has_a_line_too() -> None:
    assert "Nothing recorded this season." == season_in_words(season(ewes=[{"ewe": "A"}]).flock.ewes["a"])
