"""Animals that fall ill of one thing: who counts as a case, once, on which day, and when the flock is told."""

import re
from datetime import date, timedelta

import pytest
from alarm_flocks import NOW, TODAY, Rows, flock, scouring, told
from live_cells import in_rows
from seasons import season

from template_builder.layout.choices import Born, Cause, LambLeft, Prolapse, Reason, TreatedFor, Trouble, WhyMoved
from template_builder.layout.columns import Row
from template_builder.layout.illnesses import ILLNESSES, Illness
from template_builder.live_values import live_values
from workbook.rules.checks.advice import illness_in_several

ILL = "in 14 days"


@pytest.mark.parametrize(("ago", "ill"), [
    ((0, 0), False), ((0, 0, 0), True), ((0, 0, 0, 0), True),
    ((0, 3, 6), True), ((0, 3, 7), True), ((0, 3, 8), False), ((0, 7, 8), False),  # within a week
    ((0, 6, 7, 8), True),
    ((6, 6, 13), True), ((7, 7, 14), True), ((8, 8, 15), False),  # the last of them so long ago
    ((-1, -1, -1), False), ((0, 0, -1), False),  # days to come are no cases yet
])
def test_three_within_a_week_are_the_flocks_matter(ago: tuple[int, ...], ill: bool) -> None:
    assert [ill] * ill == [ILL in line for line in told(scouring(*ago))]


@pytest.mark.parametrize(("ago", "ill"), [((0, 0, 0), True), ((0, 0), False), ((0, 3, 7), True), ((0, 3, 8), False)])
def test_the_check_says_the_same(ago: tuple[int, ...], ill: bool) -> None:
    assert ill == bool(told(scouring(*ago))) == bool([*illness_in_several(season(NOW, **scouring(*ago)))])


def _told_of(illness: Illness, word: object, ewe: str, day: date) -> tuple[str, Row]:
    """The sheet and the row in which a word of an illness stands."""
    of_lamb = illness.animals == "lambs"
    if isinstance(word, Cause):
        return "lambs", {"ewe": ewe, "lamb_no": 1, "left_how": LambLeft.DIED, "left_on": day, "cause": word}
    if isinstance(word, Reason):
        whom = {"given_to": TreatedFor.LAMB, "animal": f"{ewe}-1"} if of_lamb else {"given_to": TreatedFor.EWE, "animal": ewe}
        return "treatments", {**whom, "date": day, "reason": word}
    if isinstance(word, Trouble):
        return "ewe_check", {"ewe": ewe, "date": day, "trouble": word}
    if isinstance(word, WhyMoved):
        return "lambs", {"ewe": ewe, "lamb_no": 1, "why_moved": word, "moved_on": day}
    return "lambing", {"ewe": ewe, "lambed_on": day, "prolapse" if isinstance(word, Prolapse) else "trouble": word}


@pytest.mark.parametrize("illness", ILLNESSES, ids=lambda illness: f"{illness.title} of {illness.animals}")
def test_every_word_of_an_illness_counts_and_an_animal_counts_once(illness: Illness) -> None:
    """Three animals, each told of in another of its words and once more later; then two of them, as often."""
    def rows(animals: int) -> Rows:
        found = flock(lambing=[], lambs=[])
        for n in range(animals):
            for day, word in ((0, illness.words[n % len(illness.words)]), (1, illness.words[(n + 1) % len(illness.words)])):
                sheet, row = _told_of(illness, word, f"{n:03}", TODAY - timedelta(days=day))
                if not (day and sheet in ("lambing", "lambs") and illness.words[n % len(illness.words)] is word):
                    found.setdefault(sheet, []).append(row)
        return found

    (line,) = [line for line in told(rows(3)) if ILL in line]
    assert f"3 {illness.animals} with {illness.title} in 14 days" in line
    assert illness.people == ("People can catch" in line)
    assert [] == [line for line in told(rows(2)) if ILL in line]
    assert [f"3 {illness.animals} with {illness.title}"] == [
        re.split(" from | on ", found.text)[0] for found in illness_in_several(season(NOW, **rows(3)))]


def treated(lamb: str, ago: int, reason: Reason = Reason.SCOUR) -> Row:
    return {"given_to": TreatedFor.LAMB, "animal": lamb, "date": TODAY - timedelta(days=ago), "reason": reason}


def test_a_lamb_treated_and_dead_of_it_on_one_day_is_one_case() -> None:
    dead = scouring(0, 0)
    assert [] == told({**dead, "treatments": [treated("000-1", 0), treated("001-1", 0)]})
    (line,) = told({**dead, "treatments": [treated("000-1", 0), treated("002-1", 0)]})
    assert "3 lambs with watery mouth or scour" in line


def test_a_row_of_no_such_illness_holds_no_case() -> None:
    """A lamb a fox took, one treated for its feet, a death without a day, a ewe that is thin: none is a key to count by."""
    took = {"ewe": "000", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED}
    live = in_rows(live_values(flock(
        lambs=[{**took, "cause": Cause.PREDATOR, "left_on": TODAY}, {**took, "cause": Cause.SCOUR}, {**took, "left_on": TODAY}],
        treatments=[treated("000-1", 0, Reason.LAMENESS)],
        ewe_check=[{"ewe": "001", "date": TODAY, "trouble": Trouble.THIN}],
    ), NOW))
    assert {0} == {row[column] for row in live["lambs"] for column in ("case", "died_case", "fell_ill", "died_fell_ill")}
    others = [row for sheet in ("treatments", "checks", "ewes") for row in live[sheet]]
    assert {0} == {row[column] for row in others for column in ("case", "fell_ill")}
