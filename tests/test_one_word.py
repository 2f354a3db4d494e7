"""One word under Trouble on Lambing: read as what the columns of its own would say, which stand before it."""

from datetime import date, datetime

import pytest
from seasons import season

from template_builder.layout.choices import (
    Born,
    Colostrum,
    Help,
    LambingTrouble,
    Presentation,
    Prolapse,
    Sucked,
    Taken,
    Teats,
    Udder,
    WhyHelped,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from workbook.results.advice.evidence import evidence
from workbook.results.advice.problem_ewes import problem_ewes
from workbook.results.advice.season_in_words import season_in_words
from workbook.results.clinical import hers
from workbook.results.clinical.abortion import abortions
from workbook.results.clinical.setting_on import not_for_setting_on
from workbook.results.clinical.travel import unfit_to_travel
from workbook.results.litters.ewe_facts import was_helped
from workbook.results.litters.movements import Place, movements
from workbook.season.families import Ewe
from workbook.season.season import Season

LAMBED, NIGHT = date(2026, 3, 12), datetime(2026, 3, 12, 22, 0)
THE_WORD = "Lambing!H4"


def told(word: LambingTrouble | None, lambs: list[Row] | None = None, checks: list[Row] | None = None, **cells: Value) -> Season:
    """A ewe scanned with two, and one word of trouble on her Lambing row."""
    lambing: Row = {"ewe": "A", "lambed_on": LAMBED, "trouble": word, **cells}
    return season(as_of=NIGHT, ewes=[{"ewe": "A", "scanned": 2}], lambing=[lambing], ewe_check=checks or [],
                  lambs=[{"ewe": "A", "lamb_no": number, **lamb} for number, lamb in enumerate(lambs or [], start=1)])


def ewe(records: Season) -> Ewe:
    return records.flock.ewes["a"]


def counts(records: Season) -> dict[str, tuple[float, list[str]]]:
    """What of her counts for Policy, and the cells it rests on."""
    seen = evidence(records, ewe(records))
    return {id: (one.value, [str(cell) for cell in one.cells]) for id, one in seen.items() if one.value}


def alerts(records: Season) -> set[str]:
    return {one.alert for one in problem_ewes(records, NIGHT) if [str(cell) for cell in one.cells][:1] == [THE_WORD]}


@pytest.mark.parametrize(("word", "column", "value"), [
    (LambingTrouble.HELPED, "help", Help.LIGHT), (LambingTrouble.LAY_WRONG, "why_helped", WhyHelped.LAY_WRONG),
    (LambingTrouble.NARROW, "why_helped", WhyHelped.NARROW), (LambingTrouble.NOT_OPEN, "why_helped", WhyHelped.NOT_OPEN),
    (LambingTrouble.NO_MILK, "colostrum", Colostrum.NONE),
])
def test_a_word_is_read_as_its_column_would_be(word: LambingTrouble, column: str, value: Value) -> None:
    row = ewe(told(word)).lambing
    assert row is not None and (value, None) == (row[column], row.held(column))


@pytest.mark.parametrize(("word", "evidence", "raised", "words"), [
    (LambingTrouble.HELPED, "", set(), "help light"), (LambingTrouble.LAY_WRONG, "", set(), "help given (lay wrong)"),
    (LambingTrouble.NARROW, "narrow", set(), "help given (narrow)"),
    (LambingTrouble.NOT_OPEN, "", set(), "help given (not open)"),
    (LambingTrouble.PROLAPSE, "prolapse_unnamed", {"prolapse"}, "trouble: prolapse"),
    (LambingTrouble.NO_MILK, "no_milk", {"little colostrum"}, "trouble: no milk"),
    (LambingTrouble.REFUSED, "refused", {"lamb refused"}, "trouble: refused"),
    (LambingTrouble.BAD_UDDER, "udder_or_teats", {"bad udder or teats"}, "trouble: bad udder or teats"),
    (LambingTrouble.LAMBS_LOST, "", set(), "trouble: lambs lost"), (LambingTrouble.OTHER, "", set(), "trouble: other"),
])
def test_what_each_word_counts_for_and_whom_it_wakes(
    word: LambingTrouble, evidence: str, raised: set[str], words: str,
) -> None:
    records = told(word, born_alive=2)
    assert ({evidence: (1.0, [THE_WORD])} if evidence else {}) == counts(records)
    assert raised == alerts(records)
    assert words in season_in_words(ewe(records))


def test_aborted_is_as_seen_at_a_look() -> None:
    records = told(LambingTrouble.ABORTED)
    found = abortions(records)["a"]
    assert (True, "aborted", LAMBED, [THE_WORD]) == (found.certain, found.why, found.day, [str(cell) for cell in found.cells])
    assert (True, False) == (ewe(records).aborted, ewe(records).lambed)
    assert {"aborted"} == alerts(records)
    (line,) = movements(records)
    assert (Place.ABORTED_SCANNED, 2) == (line.place, line.number)


@pytest.mark.parametrize("word", [one for one in LambingTrouble if one is not LambingTrouble.NO_MILK])
def test_whom_no_lamb_is_set_on_to(word: LambingTrouble) -> None:
    barred = {
        LambingTrouble.PROLAPSE: "prolapse this season", LambingTrouble.REFUSED: "refused a lamb",
        LambingTrouble.BAD_UDDER: "bad udder or teats", LambingTrouble.ABORTED: "aborted",
    }
    records = told(word)
    assert ((barred[word],) if word in barred else ()) == not_for_setting_on(records, ewe(records), NIGHT)


def test_a_prolapse_in_a_word_may_not_be_fit_to_travel() -> None:
    assert "prolapse" == unfit_to_travel(ewe(told(LambingTrouble.PROLAPSE)))


@pytest.mark.parametrize(("word", "cells", "left"), [
    (LambingTrouble.HELPED, {"help": Help.NONE}, {}), (LambingTrouble.NARROW, {"help": Help.NONE}, {}),
    (LambingTrouble.NARROW, {"why_helped": WhyHelped.SLOW}, {}),
    (LambingTrouble.NARROW, {"help": Help.VET}, {"narrow": (1.0, [THE_WORD])}),
    (LambingTrouble.PROLAPSE, {"prolapse": Prolapse.NONE}, {}),
    (LambingTrouble.PROLAPSE, {"prolapse": NOT_KNOWN}, {"prolapse_unnamed": (1.0, [THE_WORD])}),
    (LambingTrouble.PROLAPSE, {"prolapse": Prolapse.VAGINAL}, {"prolapse_vaginal": (1.0, ["Lambing!R4"])}),
    (LambingTrouble.NO_MILK, {"colostrum": Colostrum.LITTLE}, {}),
    (LambingTrouble.BAD_UDDER, {"teats": Teats.SOUND}, {"udder_or_teats": (1.0, [THE_WORD])}),
    (LambingTrouble.BAD_UDDER, {"teats": Teats.BLOCKED}, {"teats_bad": (1.0, ["Lambing!Q4"])}),
])
def test_a_filled_column_stands_before_the_word(word: LambingTrouble, cells: Row, left: dict[str, object]) -> None:
    assert left == counts(told(word, **cells))


def test_all_well_beside_a_word_says_nothing_of_what_the_word_speaks_of() -> None:
    for word, columns in ((LambingTrouble.NARROW, ("help",)), (LambingTrouble.PROLAPSE, ("prolapse",)),
                          (LambingTrouble.NO_MILK, ("sides_in_milk",)), (LambingTrouble.BAD_UDDER, ("sides_in_milk", "teats"))):
        row = ewe(told(word, all_well=YesNo.YES)).lambing
        assert row is not None and [None] * len(columns) == [row[column] for column in columns]
        assert YesNo.YES is row["afterbirth"]
    (lamb,) = ewe(told(LambingTrouble.REFUSED, [{"born": Born.ALIVE}], all_well=YesNo.YES)).lambs
    assert (None, None, Presentation.NORMAL) == tuple(lamb.record[column] for column in ("taken", "sucked", "presentation"))
    (lamb,) = ewe(told(LambingTrouble.PROLAPSE, [{"born": Born.ALIVE}], all_well=YesNo.YES)).lambs
    assert (Taken.YES, Sucked.ALONE) == (lamb.record["taken"], lamb.record["sucked"])


@pytest.mark.parametrize(("taken", "in_a_word", "refused"), [
    ((None, None), True, True), ((Taken.YES, None), True, True), ((Taken.YES, Taken.SLOWLY), False, False),
    ((Taken.REFUSED, None), False, True),
])
def test_what_the_rows_of_her_lambs_say_stands_before_refused(
    taken: tuple[Taken | None, ...], in_a_word: bool, refused: bool,
) -> None:
    found = ewe(told(LambingTrouble.REFUSED, [{"born": Born.ALIVE, "taken": one} for one in taken]))
    assert (in_a_word, refused) == (bool(hers.refused_in_a_word(found)), hers.refused(found))


@pytest.mark.parametrize(("day", "looked", "still"), [
    (date(2026, 3, 11), {"udder": Udder.SOUND}, True), (LAMBED, {"udder": Udder.SOUND}, False),
    (date(2026, 3, 13), {"teats": Teats.SOUND}, False), (None, {"udder": Udder.SOUND}, False), (LAMBED, {}, True),
])
def test_the_last_look_at_udder_or_teats_decides(day: date | None, looked: Row, still: bool) -> None:
    records = told(LambingTrouble.BAD_UDDER, checks=[{"ewe": "A", "date": day, **looked}])
    assert still == ("udder_or_teats" in counts(records))


def test_who_was_helped_for_a_reason_was_helped() -> None:
    assert [True, True, None] == [was_helped(ewe(told(word))) for word in (LambingTrouble.HELPED, LambingTrouble.NARROW, None)]
