"""How much of the records a figure rests on: limits by hand, bounds by every way to fill the gaps."""

from collections.abc import Callable
from datetime import date, timedelta
from itertools import product

import pytest
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from seasons import season

from template_builder.layout.choices import Born, Help, LambLeft, Stage, Weighed
from template_builder.layout.columns import Row
from workbook.output.summary.gaps import difference_words
from workbook.results.litters.account import litter_account
from workbook.results.litters.figure import Figure
from workbook.results.litters.figures import figures, stage_of
from workbook.results.litters.known import enough
from workbook.season.season import Season

DAY = date(2026, 4, 1)


def figures_of(of: Season) -> dict[str, Figure]:
    account = litter_account(of)
    return {figure.id: figure for figure in figures(of, account, stage_of(of, account))}


@pytest.mark.parametrize(("known", "of", "held"), [
    (79, 100, False), (80, 100, True), (81, 100, True), (4, 5, True), (399, 500, False), (0, 0, True),
])
def test_under_eighty_per_cent_known_is_set_against_nothing(known: int, of: int, held: bool) -> None:
    figure = Figure("reared_pct", "Reared %", 150.0, "%", 30, 20, "", known=known, of=of)
    assert held is enough(figure)
    assert ("10.0 below own target" if held else "known for too few") == difference_words(figure, 160.0, None, ())


@pytest.mark.parametrize(("counted", "may"), [(7, 0), (6, 1), (5, 2), (4, 2), (3, 3)])
def test_lambs_short_at_a_count_may_be_all_that_a_ewe_rears(counted: int, may: int) -> None:
    """Ewes with 1, 1, 2 and 3 lambs: one short may be a single, two both singles, and only the fourth the twins too."""
    sizes = {"A": 1, "B": 1, "C": 2, "D": 3}
    of = season(groups=[{"group": "Low", "weaning": DAY}], ewes=[{"ewe": ewe, "group": "Low"} for ewe in sizes],
                lambing=[{"ewe": ewe, "lambed_on": DAY - timedelta(days=90)} for ewe in sizes],
                lambs=[{"ewe": ewe, "lamb_no": n, "born": Born.ALIVE} for ewe, size in sizes.items() for n in range(1, size + 1)],
                counts=[{"date": DAY, "group": "Low", "stage": Stage.WEANING, "lambs": counted}])
    found = figures_of(of)["rearing_none_pct"]
    assert (0, 4 - may, 4) == (found.value, found.known, found.of)
    assert (25.0 * may if may else None) == found.most


@pytest.mark.parametrize(("ewes", "few"), [(9, True), (10, False)])
def test_a_share_of_under_ten_is_few(ewes: int, few: bool) -> None:
    of = season(ewes=[{"ewe": str(n), "scanned": 2} for n in range(ewes)])
    assert few is figures_of(of)["empty_pct"].few


def blank_help(ewes: list[object]) -> Season:
    return season(lambing=[{"ewe": str(n), "lambed_on": DAY, "help": help, "born_alive": 1} for n, help in enumerate(ewes)])


def unscanned(ewes: list[object]) -> Season:
    return season(ewes=[{"ewe": str(n), "scanned": scan} for n, scan in enumerate(ewes)])


def unseen(lambs: list[object]) -> Season:
    """Lambs weighed at weaning, missing, and booked but not seen; the weaning day has passed."""
    rows: list[Row] = [{"ewe": "1", "lamb_no": n, "born": Born.ALIVE, "left_how": fate if fate is LambLeft.MISSING else None}
                       for n, fate in enumerate(lambs, start=1)]
    weights = [{"animal": f"1-{n}", "date": DAY, "kg": 30, "occasion": Weighed.WEANING}
               for n, fate in enumerate(lambs, start=1) if fate is Born.ALIVE]
    return season(groups=[{"group": "Low", "weaning": DAY}], ewes=[{"ewe": "1", "group": "Low"}],
                  lambing=[{"ewe": "1", "lambed_on": DAY}], lambs=rows, weights=weights)


def unwritten(lambs: list[object]) -> Season:
    return season(ewes=[{"ewe": "1"}], lambing=[{"ewe": "1", "lambed_on": DAY}],
                  lambs=[{"ewe": "1", "lamb_no": n, "born": born, "tag": f"T{n}"} for n, born in enumerate(lambs, start=1)])


Made = Callable[[list[object]], Season]
SHARES: list[tuple[str, Made, tuple[object, object]]] = [
    ("assisted_pct", blank_help, (Help.NONE, Help.LIGHT)), ("empty_pct", unscanned, (2, 0)),
    ("stillbirth_pct", unwritten, (Born.ALIVE, Born.DEAD_FRESH)), ("loss_live_born_pct", unseen, (Born.ALIVE, LambLeft.MISSING)),
    ("total_loss_pct", unseen, (Born.ALIVE, LambLeft.MISSING)),
]


@pytest.mark.parametrize(("id", "made", "ways"), SHARES)
@settings(max_examples=examples(40), deadline=None)
@given(data=st.data())
def test_bounds_are_those_of_every_way_to_fill_the_gaps(
    id: str, made: Made, ways: tuple[object, object], data: st.DataObject,
) -> None:
    written = data.draw(st.lists(st.sampled_from([*ways, None]), min_size=1, max_size=5))
    figure = figures_of(made(written))[id]
    gaps = [place for place, one in enumerate(written) if one is None]
    values = []
    for filled in product(ways, repeat=len(gaps)):
        whole = list(written)
        for place, value in zip(gaps, filled, strict=True):
            whole[place] = value
        values.append(figures_of(made(whole))[id].value)
    if figure.value is None:
        return
    assert (len(written) - len(gaps), len(written)) == (figure.known, figure.of)
    least, most = (figure.least, figure.most) if gaps else (figure.value, figure.value)
    assert least is not None and most is not None and least <= figure.value <= most
    assert (pytest.approx(least), pytest.approx(most)) == (min(filter(_known, values)), max(filter(_known, values)))


def _known(value: float | None) -> bool:
    return value is not None
