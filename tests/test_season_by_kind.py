"""What went wrong with ewes by kind: each kind from the cell that says it, and from no other value of that cell."""

import pytest
from ewes_tonight import NEXT, NIGHT, check, lamb, lambing, treatment
from seasons import season

from template_builder.layout.choices import (
    Belly,
    Born,
    Choice,
    Colostrum,
    EweLeft,
    Feet,
    Help,
    LambingTrouble,
    NextDay,
    Prolapse,
    Reason,
    Taken,
    Teats,
    Trouble,
    Udder,
    WhyHelped,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import Row
from workbook.results.advice.season_by_kind import KINDS, season_by_kind

Rows = dict[str, list[Row]]


def happened(rows: Rows) -> list[str]:
    return [kind.title for kind in season_by_kind(season(**rows)) if "A" in [ewe.name for ewe in kind.ewes]]  # type: ignore[arg-type]


def at_lambing(column: str, value: Choice | int) -> Rows:
    return {"lambing": [lambing(**{column: value})]}


def of_lamb(**cells: Choice) -> Rows:
    return {"lambing": [lambing()], "lambs": [lamb(**cells)]}


def looked(**cells: Choice | int) -> Rows:
    return {"lambing": [lambing()], "ewe_check": [check(NEXT, **cells)]}


FOUND: list[tuple[Rows, list[str]]] = [
    (of_lamb(born=Born.ABORTED), ["aborted"]), (of_lamb(born=Born.MUMMIFIED), ["abortion suspected"]),
    (of_lamb(born=Born.DEAD_FRESH), []),
    (at_lambing("prolapse", Prolapse.VAGINAL), ["vaginal prolapse"]), (at_lambing("prolapse", Prolapse.WOMB), ["womb prolapse"]),
    (at_lambing("prolapse", Prolapse.RECTAL), ["rectal prolapse"]), (at_lambing("prolapse", Prolapse.NONE), []),
    (looked(trouble=Trouble.PROLAPSE), ["prolapse, which is not written"]),
    ({"lambing": [lambing(prolapse=Prolapse.WOMB)], "ewe_check": [check(NEXT, trouble=Trouble.PROLAPSE)]}, ["womb prolapse"]),
    (at_lambing("help", Help.CAESAREAN), ["caesarean"]), (at_lambing("help", Help.VET), ["helped by the vet"]),
    (at_lambing("help", Help.HARD), ["helped hard"]), (at_lambing("help", Help.LIGHT), []),
    (at_lambing("why_helped", WhyHelped.NOT_OPEN), ["cervix did not open"]), (at_lambing("why_helped", WhyHelped.NARROW), []),
    (at_lambing("afterbirth", YesNo.NO), ["afterbirth not passed"]), (at_lambing("afterbirth", YesNo.YES), []),
    (at_lambing("colostrum", Colostrum.LITTLE), ["little or no colostrum"]),
    (at_lambing("colostrum", Colostrum.NONE), ["little or no colostrum"]), (at_lambing("colostrum", Colostrum.PLENTY), []),
    (looked(trouble=Trouble.MASTITIS), ["mastitis"]),
    (at_lambing("sides_in_milk", 1), ["a side dry at the last look"]), (at_lambing("sides_in_milk", 2), []),
    (looked(udder=Udder.LUMP), ["bad udder at the last look"]), (looked(udder=Udder.HARD), ["bad udder at the last look"]),
    (looked(udder=Udder.DAMAGED), ["bad udder at the last look"]), (looked(udder=Udder.SOUND), []),
    (looked(teats=Teats.LARGE), ["bad teats at the last look"]), (looked(teats=Teats.SMALL), []),
    (at_lambing("trouble", LambingTrouble.BAD_UDDER), ["bad udder or teats, which is not written"]),
    (of_lamb(taken=Taken.REFUSED), ["refused a lamb"]), (of_lamb(taken=Taken.SLOWLY), []),
    (at_lambing("trouble", LambingTrouble.REFUSED), ["refused a lamb"]),
    (of_lamb(why_moved=WhyMoved.NO_MILK), ["lamb taken from her for want of milk"]), (of_lamb(why_moved=WhyMoved.SPARE), []),
    (of_lamb(belly=Belly.HOLLOW), ["hollow lambs next day"]), (of_lamb(belly=Belly.FULL), []),
    (at_lambing("next_day", NextDay.ONE_HOLLOW), ["hollow lambs next day"]), (at_lambing("next_day", NextDay.ALL_FULL), []),
    (at_lambing("trouble", LambingTrouble.LAMBS_LOST), ["lambs lost, in a word"]),
    (at_lambing("trouble", LambingTrouble.OTHER), ["other trouble at lambing"]),
    (looked(trouble=Trouble.SLEEPY), ["sleepy or down"]),
    ({"ewes": [{"ewe": "A"}], "treatments": [treatment(reason=Reason.METABOLIC)]}, ["sleepy or down"]),
    ({"ewes": [{"ewe": "A"}], "treatments": [treatment(reason=Reason.WORMS)]}, []),
    (looked(feet=Feet.BADLY_LAME), ["badly lame"]), (looked(feet=Feet.LAME), []),
    (looked(trouble=Trouble.THIN), ["thin"]), (looked(trouble=Trouble.LAME), []),
    ({"ewes": [{"ewe": "A", "left_how": EweLeft.DIED}]}, ["died"]),
    ({"ewes": [{"ewe": "A", "left_how": EweLeft.MISSING}]}, ["missing"]),
    ({"ewes": [{"ewe": "A", "left_how": EweLeft.SOLD}]}, []),
]


@pytest.mark.parametrize(("rows", "kinds"), FOUND)
def test_the_kinds_a_cell_speaks_of(rows: Rows, kinds: list[str]) -> None:
    assert kinds == happened(rows)


def test_every_kind_has_its_case() -> None:
    assert {title for title, _ in KINDS} == {kind for _, kinds in FOUND for kind in kinds}


def test_a_ewe_stands_under_a_kind_once_and_under_each_of_hers() -> None:
    of = season(ewes=[{"ewe": "B"}, {"ewe": "A", "left_on": NIGHT, "left_how": EweLeft.DIED}], ewe_check=[
        check(trouble=Trouble.THIN), check(NEXT, trouble=Trouble.THIN), {**check(trouble=Trouble.THIN), "ewe": "B"}])
    assert [("thin", ["B", "A"]), ("died", ["A"])] == [
        (kind.title, [ewe.name for ewe in kind.ewes]) for kind in season_by_kind(of)]
