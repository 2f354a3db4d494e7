"""What short words on Lambing stand for in cells left blank, and where a cell that is filled takes their meaning away."""

import pytest
from seasons import season

from template_builder.layout.choices import Help, LambingTrouble, Presentation, Sucked, Taken, Teats, WhyHelped, YesNo
from template_builder.layout.columns import NOT_KNOWN, Value
from workbook.season.short_words import said_in_short, said_of_lambs, trouble_of


@pytest.mark.parametrize(("help", "why"), [
    (None, WhyHelped.NARROW), (NOT_KNOWN, WhyHelped.NARROW), (Help.LIGHT, WhyHelped.NARROW), (Help.VET, WhyHelped.NARROW),
    (Help.NONE, None),
])
def test_narrow_says_why_she_was_helped_unless_she_was_not(help: Value, why: Value) -> None:
    (row,) = season(lambing=[{"ewe": "A", "trouble": LambingTrouble.NARROW, "help": help}]).rows("lambing")
    assert why == said_in_short(row)["why_helped"]


WELL = (YesNo.NO, Presentation.NORMAL, Sucked.ALONE, Taken.YES)


@pytest.mark.parametrize(("word", "said"), [
    (None, WELL), (LambingTrouble.PROLAPSE, WELL), (LambingTrouble.HELPED, (None, *WELL[1:])),
    (LambingTrouble.LAY_WRONG, (None, None, *WELL[2:])), (LambingTrouble.NARROW, (None, *WELL[1:])),
    (LambingTrouble.NOT_OPEN, (None, *WELL[1:])), (LambingTrouble.NO_MILK, (*WELL[:2], None, Taken.YES)),
    (LambingTrouble.REFUSED, (*WELL[:2], None, None)),
])
def test_all_well_says_nothing_of_lambs_that_the_trouble_beside_it_speaks_of(word: Value, said: tuple[Value, ...]) -> None:
    (row,) = season(lambing=[{"ewe": "A", "trouble": word, "all_well": YesNo.YES}]).rows("lambing")
    found = said_of_lambs(row)
    assert said == tuple(found.get(column) for column in ("helped", "presentation", "sucked", "taken"))


def test_without_all_well_a_word_of_trouble_says_nothing_of_her_lambs() -> None:
    (row,) = season(lambing=[{"ewe": "A", "trouble": LambingTrouble.HELPED}]).rows("lambing")
    assert {} == said_of_lambs(row)


def test_all_well_and_no_help_leave_open_what_kind_of_prolapse_it_was() -> None:
    (row,) = season(lambing=[
        {"ewe": "A", "trouble": LambingTrouble.PROLAPSE, "all_well": YesNo.YES, "help": Help.NONE}]).rows("lambing")
    said = said_in_short(row)
    assert (None, Teats.SOUND, Help.NONE) == (said["prolapse"], said["teats"], said["help"])


def test_a_ewe_without_a_row_on_lambing_had_no_trouble_there() -> None:
    assert None is trouble_of(None)
