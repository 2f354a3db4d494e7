"""The flock's abortion alarm: from 2 % of the ewes in lamb, or at two in a week, whichever comes first."""

from datetime import date, timedelta

import pytest
from seasons import season

from template_builder.layout.choices import Born, Trouble
from workbook.results.litters.account import litter_account
from workbook.results.litters.figures import figures, stage_of
from workbook.rules.checks.advice import abortion_alarm
from workbook.rules.rule import REGISTRY
from workbook.season.season import Season

DAY = date(2026, 2, 20)


def flock(ewes: int, *days: int) -> Season:
    """So many ewes in lamb, of which some were seen to have aborted, so many days after 20 February."""
    looks = [{"ewe": str(n), "date": DAY + timedelta(days=day), "trouble": Trouble.ABORTED} for n, day in enumerate(days)]
    return season(ewes=[{"ewe": str(n), "scanned": 2} for n in range(ewes)], ewe_check=looks)


@pytest.mark.parametrize(("of", "words"), [
    (flock(50, 0), ["1 of 50 ewes scanned in lamb aborted (2.0 %); alarm from 2 %"]),
    (flock(51, 0), []),
    (flock(200, 0, 7), ["0 on 20 Feb 2026 and 1 on 27 Feb 2026, within 7 days"]),
    (flock(200, 0, 8), []),
    (flock(200, 0, 30, 60, 67), ["4 of 200 ewes scanned in lamb aborted (2.0 %); alarm from 2 %; 2 on 21 Apr 2026 and 3 on "
                                 "28 Apr 2026, within 7 days"]),
    (flock(200), []),
])
def test_when_it_is_raised(of: Season, words: list[str]) -> None:
    assert words == [found.text for found in abortion_alarm(of)]


@pytest.mark.parametrize("step", [
    "Isolate these ewes", "wear gloves", "Call your vet", "samples of the lambs and the afterbirth",
    "set no lamb on to them", "keep pregnant women away",
])
def test_what_the_trade_does_next(step: str) -> None:
    # Common practice, no source.
    assert step in REGISTRY["A101"].fix


def test_with_the_share_set_to_nothing_one_abortion_is_still_needed() -> None:
    share = [{"row_key": "abortion-alarm", "limit": 0}]
    assert [] == list(abortion_alarm(season(ewes=[{"ewe": "1", "scanned": 2}], policy=share)))


def suspected(ewes: int, *days: int) -> Season:
    """So many ewes in lamb, of which some bore a mummified lamb."""
    return season(
        ewes=[{"ewe": str(n), "scanned": 2} for n in range(ewes)],
        lambing=[{"ewe": str(n), "lambed_on": DAY + timedelta(days=day)} for n, day in enumerate(days)],
        lambs=[{"ewe": str(n), "lamb_no": 1, "born": Born.MUMMIFIED} for n in range(len(days))])


def test_ewes_that_may_have_aborted_count_for_the_alarm_but_not_as_aborted() -> None:
    (two,) = abortion_alarm(suspected(200, 0, 7))
    assert "0 on 20 Feb 2026 and 1 on 27 Feb 2026, within 7 days" == two.text
    assert [] == list(abortion_alarm(suspected(200, 0, 8)))
    (many,) = abortion_alarm(suspected(50, 0))
    assert "0 of 50 ewes scanned in lamb aborted (0.0 %), 1 more may have; alarm from 2 %" == many.text


def test_the_share_is_the_figures_own() -> None:
    of = flock(50, 0, 30)
    account = litter_account(of)
    figure = next(figure for figure in figures(of, account, stage_of(of, account)) if figure.id == "aborted_pct")
    (found,) = abortion_alarm(of)
    assert figure.value is not None and f"({figure.value:.1f} %)" in found.text


def test_the_figure_names_the_share_that_raises_it() -> None:
    of = flock(200, 0)
    account = litter_account(of)
    figure = next(figure for figure in figures(of, account, stage_of(of, account)) if figure.id == "aborted_pct")
    assert 0.5 == figure.value
    assert "from 2 %, ewes that may have aborted included, or two within a week." in figure.definition


@pytest.mark.parametrize("scanned", [-1, 0, None])
def test_an_abortion_of_a_ewe_not_scanned_in_lamb_is_no_share_of_those_that_were(scanned: int | None) -> None:
    look = {"ewe": "A", "date": DAY, "trouble": Trouble.ABORTED}
    assert [] == list(abortion_alarm(season(ewes=[{"ewe": "A", "scanned": scanned}], ewe_check=[look])))
