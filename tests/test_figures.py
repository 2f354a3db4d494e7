"""The flock's figures, worked out by hand, and the identities between them."""

import ast
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from seasons import season
from statsmodels.stats.proportion import proportion_confint
from test_account import worked

from template_builder.layout.choices import Born, EweLeft, Help, HowRecorded, LambLeft, RearedBy, Stage, Weighed, WhyHelped, YesNo
from template_builder.layout.columns import Row
from workbook.results.litters.account import litter_account
from workbook.results.litters.figures import Figure, figures, scan_agreement, scan_table, stage_of
from workbook.results.litters.known import enough
from workbook.results.litters.scanning import screening
from workbook.season.season import Season

DAY = date(2026, 4, 1)


def figures_of(of: Season, litter_weights: dict[str, float] | None = None) -> dict[str, Figure]:
    account = litter_account(of)
    found = figures(of, account, stage_of(of, account), litter_weights)
    assert len(found) == len({figure.id for figure in found})
    return {figure.id: figure for figure in found}


def lambed(*rows: Row) -> list[Row]:
    return [{"lambed_on": DAY, **row} for row in rows]


def born(ewe: str, alive: int, dead: int = 0) -> Row:
    return {"ewe": ewe, "lambed_on": DAY, "born_alive": alive, "born_dead": dead}


TWELVE = season(
    groups=[{"group": "Low", "ewes_to_ram": 14, "weaning": date(2026, 8, 1)}],
    ewes=[
        *({"ewe": str(n), "scanned": 2} for n in range(1, 7)), {"ewe": "7", "scanned": 3}, {"ewe": "8", "scanned": 1},
        {"ewe": "9", "scanned": 1}, {"ewe": "10", "scanned": 0, "due": DAY},
        {"ewe": "11", "scanned": 0, "left_on": DAY, "left_how": EweLeft.SOLD},
        {"ewe": "12", "scanned": 1, "left_on": date(2026, 3, 1), "left_how": EweLeft.DIED},
    ],
    lambing=[*(born(str(n), 2) for n in range(1, 6)), born("6", 1), born("7", 2, 1), born("8", 1), born("9", 1, 1)],
)


@pytest.mark.parametrize(("id", "value", "numerator", "denominator"), [
    ("scanning_pct_ram", 18 / 14 * 100, 18, 14),  # 6 x 2 + 3 + 1 + 1 + 1
    ("scanning_pct_scanned", 150, 18, 12),
    ("litter_scanned", 1.8, 18, 10),
    ("empty_pct", 2 / 12 * 100, 2, 12),
    ("ewes_lambed_pct", 9 / 14 * 100, 9, 14),
    ("litter_born", 17 / 9, 17, 9),  # 5 x 2 + 1 + 3 + 1 + 2
    ("lambing_pct", 17 / 14 * 100, 17, 14),
    ("aborted_pct", 0, 0, 10),
    ("stillbirth_pct", 2 / 17 * 100, 2, 17),
    ("loss_live_born_pct", 0, 0, 15),
    ("total_loss_pct", 4 / 19 * 100, 4, 19),  # one of ewe 6 not born, one lost with 12, two born dead; 18 scanned + 1 more
    ("reared_pct", 15 / 14 * 100, 15, 14),
    ("ewe_deaths_pct", 1 / 14 * 100, 1, 14),
    ("rearing_none_pct", 0, 0, 9),
    ("scan_exact_pct", 80, 8, 10),  # 1 to 5, 7, 8 and 10; 6 and 9 are one out
    ("scan_within_one_pct", 100, 10, 10),
    ("scan_sensitivity_pct", 100, 9, 9),
    ("scan_specificity_pct", 100, 1, 1),
])
def test_figures_of_a_small_flock(id: str, value: float, numerator: float, denominator: float) -> None:
    figure = figures_of(TWELVE)[id]
    assert pytest.approx(value) == figure.value
    assert (numerator, denominator) == (figure.numerator, figure.denominator)
    assert (denominator < 10) is figure.few
    assert not figure.so_far


def test_worked_season_loses_half_of_its_known_lambs() -> None:
    found = figures_of(worked())["total_loss_pct"]
    assert (7, 14) == (found.numerator, found.denominator)
    assert pytest.approx(50) == found.value
    # Lost of known by ewe: 1 of 3, 1 of 1, 0 of 2, 0 of 1, 2 of 2, 1 of 3, 1 of 1, 1 of 1. From half of each that is -1/2, 1/2,
    # -1, -1/2, 1, -1/2, 1/2, 1/2: squares 3.5 for eight ewes; strangers would give 14 / 4.
    effect = 3.5 * 8 / 7 / 3.5
    low, high = proportion_confint(7 / effect, 14 / effect, method="wilson")
    assert (pytest.approx(100 * low, rel=1e-6), pytest.approx(100 * high, rel=1e-6)) == (found.low, found.high)


def test_lambs_per_ewe_to_the_ram_are_ewes_lambed_times_litter_size() -> None:
    """Identity of the definitions in the Merck Veterinary Manual: fertility x prolificacy = lambing rate."""
    found = figures_of(TWELVE)
    share, litter, lambing = (found[id].value for id in ("ewes_lambed_pct", "litter_born", "lambing_pct"))
    assert share is not None and litter is not None
    assert pytest.approx(share * litter) == lambing


def test_ratios_have_no_interval_and_shares_have_one() -> None:
    found = figures_of(TWELVE)
    assert (None, None) == (found["lambing_pct"].low, found["lambing_pct"].high)
    low, high = found["ewes_lambed_pct"].low, found["ewes_lambed_pct"].high
    assert low is not None and high is not None and 0 < low < 9 / 14 * 100 < high < 100


def test_without_ewes_to_the_ram_nothing_is_worked_out_and_the_reason_is_given() -> None:
    found = figures_of(season(ewes=[{"ewe": "1", "scanned": 2}], lambing=[born("1", 2)]))
    for id in ("scanning_pct_ram", "ewes_lambed_pct", "lambing_pct", "ewe_deaths_pct"):
        assert (None, None) == (found[id].value, found[id].denominator)
        assert found[id].definition.endswith("Not worked out: no group on Groups says how many ewes went to the ram.")
    assert pytest.approx(200) == found["scanning_pct_scanned"].value


def test_groups_that_do_not_say_are_named_and_groups_known_by_counts_left_out() -> None:
    found = figures_of(season(groups=[
        {"group": "Low", "ewes_to_ram": 20}, {"group": "Top"},
        {"group": "Hill", "ewes_to_ram": 400, "how_recorded": HowRecorded.COUNTS_ONLY},
    ]))["lambing_pct"]
    assert 20 == found.denominator
    assert found.definition.endswith("Without Top: ewes to the ram not written.")


@pytest.mark.parametrize(("number", "value"), [(1, None), (2, 100), (3, pytest.approx(200 / 3))])
def test_more_lambed_than_went_to_the_ram_is_no_figure(number: int, value: float | None) -> None:
    found = figures_of(season(groups=[{"group": "Low", "ewes_to_ram": number}], lambing=[born("1", 1), born("2", 1)]))
    assert value == found["ewes_lambed_pct"].value
    assert (value is None) is (found["lambing_pct"].value is None)
    said = "Not worked out: more ewes lambed or died than went to the ram; see To correct."
    assert (value is None) is found["lambing_pct"].definition.endswith(said)


def two_groups(low: int | None, top: int | None, **more: list[Row]) -> Season:
    """Low with ewes 1 and 2, Top with 3 to 6, and ewe 7 of no group; each scanned with two and with two lambs reared."""
    rows: dict[str, list[Row]] = {
        "groups": [{"group": "Low", "ewes_to_ram": low, "weaning": date(2026, 8, 1)},
                   {"group": "Top", "ewes_to_ram": top, "weaning": date(2026, 8, 1)}],
        "ewes": [{"ewe": str(n), "scanned": 2, "group": "Low" if n < 3 else "Top" if n < 7 else None} for n in range(1, 8)],
        "lambing": lambed(*({"ewe": str(n)} for n in range(1, 8))),
        "lambs": [{"ewe": str(n), "lamb_no": lamb, "born": Born.ALIVE} for n in range(1, 8) for lamb in (1, 2)],
        "weights": weighings(*((f"{n}-{lamb}", 30.0, Weighed.WEANING) for n in range(1, 8) for lamb in (1, 2))),
    }
    return season(**{**rows, **more})


@pytest.mark.parametrize(("low", "top", "ewes", "of", "said"), [
    (4, 8, 7, 12, ""),
    (4, None, 2, 4, "Without Top: ewes to the ram not written; without 1 ewe whose group is not written."),
    (4, 3, 2, 4, "Without Top: more ewes lambed or died than went to the ram; without 1 ewe whose group is not written."),
    (4, 4, 7, 8, ""),
    (None, 8, 4, 8, "Without Low: ewes to the ram not written; without 1 ewe whose group is not written."),
])
def test_ewes_and_lambs_of_a_group_without_ewes_to_the_ram_stand_neither_above_nor_below(
    low: int | None, top: int | None, ewes: int, of: int, said: str,
) -> None:
    found = figures_of(two_groups(low, top))
    assert (ewes, of) == (found["ewes_lambed_pct"].numerator, found["ewes_lambed_pct"].denominator)
    for id in ("scanning_pct_ram", "lambing_pct", "reared_pct"):
        assert (2 * ewes, of) == (found[id].numerator, found[id].denominator)
        assert said in found[id].definition and ("Without" in found[id].definition) is bool(said)
    assert (60.0 * ewes, of) == (found["kg_weaned_per_ewe"].numerator, found["kg_weaned_per_ewe"].denominator)
    for id in ("reared_pct", "lambing_pct", "kg_weaned_per_ewe"):
        assert (2 * ewes, 14, ewes == 7) == (found[id].known, found[id].of, enough(found[id]))
    assert (ewes, 7) == (found["scanning_pct_ram"].known, found["scanning_pct_ram"].of)


def test_before_weaning_nothing_is_reared() -> None:
    of = two_groups(4, 8, groups=[{"group": "Low", "ewes_to_ram": 20}], weights=[])
    assert "lambed" == stage_of(of, litter_account(of))
    assert "reared_pct" not in figures_of(of)


@pytest.mark.parametrize("known", range(13))
def test_half_weighed_lambs_are_not_lighter(known: int) -> None:
    """Singles of 40 kg and twins of 30 kg: as many kg per ewe however many of the twins were weighed."""
    weighed = [(f"{n}-{lamb}", 30.0, Weighed.WEANING) for n in range(2, 8) for lamb in (1, 2)][:known]
    of = two_groups(4, 8, weights=weighings(("1-1", 40.0, Weighed.WEANING), *weighed),
                    lambs=[{"ewe": str(n), "lamb_no": lamb, "born": Born.ALIVE}
                           for n in range(1, 8) for lamb in ((1, 2) if n > 1 else (1,))])
    found = figures_of(of)["kg_weaned_per_ewe"]
    assert ((1 + known, 13) == (found.known, found.of))
    assert (known < 12) is ("rom " in found.partly)
    assert pytest.approx((40 + 12 * (30 if known else 40)) / 12) == found.value


@pytest.mark.parametrize("complete", [0, 3, 6])
def test_litters_not_weighed_in_full_take_the_mean_of_litters_as_large(complete: int) -> None:
    of = two_groups(4, 8, lambs=[{"ewe": str(n), "lamb_no": lamb, "born": Born.ALIVE}
                                 for n in range(1, 8) for lamb in ((1, 2) if n > 1 else (1,))])
    found = figures_of(of, {"1": 40.0, **{str(n): 60.0 for n in range(2, 2 + complete)}})["litter_weight"]
    assert (1 + complete, 7) == (found.known, found.of)
    assert pytest.approx((40 + 6 * (60 if complete else 40)) / 7) == found.value
    assert found.few


def test_so_far_counts_per_ewe_lambed_and_leaves_out_lambs_still_to_be_born() -> None:
    of = season(
        datetime(2026, 4, 2), groups=[{"group": "Low", "ewes_to_ram": 3}],
        ewes=[{"ewe": "1", "scanned": 2, "due": DAY}, {"ewe": "2", "scanned": 1, "due": DAY}], lambing=[born("1", 1, 1)],
    )
    found = figures_of(of)
    assert "so far" == stage_of(of, litter_account(of))
    assert (200, 1) == (found["lambing_pct"].value, found["lambing_pct"].denominator)
    assert "Lambs born, alive or dead, per 100 ewes that have lambed so far." == found["lambing_pct"].definition
    assert (50, 2) == (found["total_loss_pct"].value, found["total_loss_pct"].denominator)
    assert found["lambing_pct"].so_far and not found["scanning_pct_ram"].so_far


def test_assisted_ewes_by_reason_and_only_where_help_is_known() -> None:
    of = season(
        lambing=lambed(
            {"ewe": "1", "help": Help.HARD, "why_helped": WhyHelped.NARROW}, {"ewe": "2", "help": Help.LIGHT},
            {"ewe": "3", "all_well": YesNo.YES}, {"ewe": "4"}, {"ewe": "5"},
        ),
        lambs=[{"ewe": "5", "lamb_no": 1, "born": Born.ALIVE, "helped": YesNo.NO}],
    )
    found = figures_of(of)
    assert {"assisted_pct": (2, 4), "assisted_narrow": (1, 4), "assisted_reason_not_recorded": (1, 4)} == {
        id: (figure.numerator, figure.denominator) for id, figure in found.items() if id.startswith("assisted")}


def test_ewes_rearing_none_and_pets() -> None:
    died = {"left_how": LambLeft.DIED, "left_on": DAY}
    of = season(
        ewes=[{"ewe": "4", "left_how": EweLeft.DIED}],
        lambing=lambed({"ewe": "1"}, {"ewe": "2"}, {"ewe": "3"}, {"ewe": "4"}, {"ewe": "5"}),
        lambs=[
            {"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, "reared_by": RearedBy.PET},  # 1 rears none
            {"ewe": "2", "lamb_no": 1, "born": Born.ALIVE, **died},  # 2 has one set on
            {"ewe": "3", "lamb_no": 1, "born": Born.ALIVE},
            {"ewe": "3", "lamb_no": 2, "born": Born.ALIVE, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "2"},
            {"ewe": "4", "lamb_no": 1, "born": Born.ALIVE},  # 4 has died
            {"ewe": "5", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.SOLD},  # sold alive is reared
        ],
    )
    found = figures_of(of)
    assert (2, 5) == (found["rearing_none_pct"].numerator, found["rearing_none_pct"].denominator)
    assert (1, 6) == (found["pet_pct"].numerator, found["pet_pct"].denominator)


def weighings(*rows: tuple[str, float, Weighed]) -> list[Row]:
    return [{"animal": animal, "date": DAY + timedelta(days=90), "kg": kg, "occasion": on} for animal, kg, on in rows]


def test_weights_at_weaning() -> None:
    lambs = [{"ewe": "1", "lamb_no": n, "born": Born.ALIVE} for n in (1, 2)]
    dead = {"ewe": "2", "lamb_no": 1, "born": Born.ALIVE, "left_how": LambLeft.DIED}
    of = season(
        groups=[{"group": "Low", "ewes_to_ram": 4}],
        ewes=[{"ewe": "1"}, {"ewe": "2"}], lambing=lambed({"ewe": "1"}, {"ewe": "2"}),
        lambs=[*lambs, dead],
        weights=[*weighings(("1-1", 30.0, Weighed.WEANING), ("1-2", 18.0, Weighed.EARLY), ("2-1", 25.0, Weighed.WEANING)),
                 {"animal": "1", "date": date(2025, 10, 20), "kg": 75, "occasion": Weighed.MATING},
                 {"animal": "1", "date": date(2026, 8, 1), "kg": 99, "occasion": Weighed.MATING}],
    )
    found = figures_of(of, {"1": 60.0, "2": 30.0})
    assert (15, 60, 4) == tuple(getattr(found["kg_weaned_per_ewe"], of) for of in ("value", "numerator", "denominator"))
    assert found["kg_weaned_per_ewe"].definition.endswith("From 1 of 2 lambs.")
    assert 45 == found["litter_weight"].value
    efficiency = found["ewe_efficiency"]  # 60 kg of lambs, 75 kg before this lambing; nobody weighed the other ewe then
    assert (pytest.approx(80), 60, 75, 1, 2) == (
        efficiency.value, efficiency.numerator, efficiency.denominator, efficiency.known, efficiency.of)
    assert efficiency.definition.endswith("From 1 of 2 litters.")
    assert "weaned" == stage_of(of, litter_account(of))


def test_a_lamb_lost_after_weaning_was_reared() -> None:
    late = {"left_how": LambLeft.DIED, "left_on": DAY + timedelta(days=120)}
    of = season(
        groups=[{"group": "Low", "ewes_to_ram": 1, "weaning": DAY + timedelta(days=100)}], ewes=[{"ewe": "1", "group": "low"}],
        lambing=lambed({"ewe": "1"}), lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, **late}],
    )
    assert 100 == figures_of(of)["reared_pct"].value


def test_scan_table_holds_ewes_that_lambed_or_were_kept_empty() -> None:
    assert {(0, 0): 1, (1, 1): 1, (1, 2): 1, (2, 1): 1, (2, 2): 5, (3, 3): 1} == scan_table(TWELVE)
    found = scan_agreement(TWELVE)
    assert found is not None and 10 == found.n
    # Two lambs out in all; by chance 78 / 10 with these totals (1, 2, 6, 1 ewes both ways).
    assert pytest.approx(1 - 20 / 78) == found.weighted_kappa
    assert pytest.approx(1 - 20 / 78) == figures_of(TWELVE)["scan_kappa"].value


def test_scan_as_a_test_for_in_lamb_gives_the_published_shares() -> None:
    """724 scans, Veterinary Quarterly 1985: printed 99.2 and 97.6 %. Authors from memory: Taverne and others."""
    found = screening({(1, 1): 300, (2, 2): 290, (1, 2): 3, (0, 1): 5, (2, 0): 3, (0, 0): 123})
    assert (99.2, 97.6) == tuple(round(100 * (share.value or 0), 1) for share in (found.sensitivity, found.specificity))


@pytest.mark.parametrize("ewe", [
    {"scanned": 2, "left_on": DAY}, {"scanned": 2}, {"due": DAY}, {"scanned": 0, "due": date(2026, 8, 30)},
])
def test_ewes_that_say_nothing_about_the_scan(ewe: Row) -> None:
    of = season(ewes=[{"ewe": "1", **ewe}])
    assert ({}, None) == (scan_table(of), scan_agreement(of))
    assert not [id for id in figures_of(of) if id.startswith("scan_")]


@pytest.mark.parametrize(("scanned", "kinds", "found"), [
    (2, [Born.ALIVE, Born.MUMMIFIED], (2, 2)), (3, [Born.ALIVE, Born.MUMMIFIED], (3, 2)),
    (1, [Born.ALIVE, Born.MUMMIFIED], (1, 1)), (1, [Born.ALIVE, Born.ALIVE, Born.MUMMIFIED], (1, 2)),
    (2, [Born.ALIVE, Born.ABORTED], (2, 2)), (1, [Born.MUMMIFIED], (1, 1)),
])
def test_a_mummified_or_aborted_lamb_that_was_scanned_was_found(
    scanned: int, kinds: list[Born], found: tuple[int, int],
) -> None:
    lambs = [{"ewe": "1", "lamb_no": number, "born": kind} for number, kind in enumerate(kinds, start=1)]
    assert {found: 1} == scan_table(season(ewes=[{"ewe": "1", "scanned": scanned}], lambs=lambs))


def test_a_ewe_scanned_empty_with_a_mummified_lamb_alone_says_nothing_about_the_scan() -> None:
    of = season(ewes=[{"ewe": "1", "scanned": 0}], lambs=[{"ewe": "1", "lamb_no": 1, "born": Born.MUMMIFIED}])
    assert {} == scan_table(of)


def test_an_aborted_ewe_says_nothing_about_litter_size_but_was_in_lamb() -> None:
    of = season(ewes=[{"ewe": "1", "scanned": 2}, {"ewe": "2", "scanned": 0}, {"ewe": "3", "scanned": 1}],
                lambs=[{"ewe": ewe, "lamb_no": 1, "born": Born.ABORTED} for ewe in "12"], lambing=[born("3", 1)])
    assert {(1, 1): 1} == scan_table(of)
    found = figures_of(of)["scan_sensitivity_pct"]
    assert (2, 3) == (found.numerator, found.denominator)


def test_a_ewe_scanned_in_lamb_and_kept_empty_counts_against_the_scan() -> None:
    of = season(ewes=[{"ewe": "1", "scanned": 2, "due": DAY}, {"ewe": "2", "scanned": 0}, {"ewe": "3", "scanned": 1}],
                lambing=[born("3", 1)])
    assert {(0, 0): 1, (2, 0): 1, (1, 1): 1} == scan_table(of)
    found = figures_of(of)["scan_specificity_pct"]
    assert (1, 2) == (found.numerator, found.denominator)
    assert found.definition.endswith(
        "1 ewe scanned empty was kept and did not lamb; most such ewes are sold before that can be seen, so the figure is "
        "biased.")


@pytest.mark.parametrize(("rows", "stage"), [
    ({}, "before lambing"),
    ({"ewes": [{"ewe": "1", "scanned": 1}]}, "before lambing"),
    ({"ewes": [{"ewe": "1", "scanned": 1}], "lambing": [born("2", 1)]}, "so far"),
    ({"lambing": [born("2", 1)]}, "lambed"),
    ({"lambing": [born("2", 1)], "counts": [{"stage": Stage.MARKING, "lambs": 1}]}, "lambed"),
    ({"lambing": [born("2", 1)], "counts": [{"stage": Stage.WEANING, "lambs": 1}]}, "weaned"),
    ({"lambing": [born("2", 1)], "weights": weighings(("x", 30.0, Weighed.WEANING))}, "weaned"),
    ({"lambing": [born("2", 1)], "groups": [{"group": "A", "weaning": date(2026, 8, 1)}]}, "weaned"),
    ({"lambing": [born("2", 1)], "groups": [{"group": "A", "weaning": date(2026, 8, 1)}, {"group": "B"}]}, "lambed"),
    ({"lambing": [born("2", 1)], "groups": [{"group": "A", "weaning": date(2026, 9, 30)}]}, "lambed"),
])
def test_how_far_the_season_is(rows: dict[str, list[Row]], stage: str) -> None:
    of = season(**rows)
    assert stage == stage_of(of, litter_account(of))


def test_an_empty_season_has_figures_without_values() -> None:
    assert {None} == {figure.value for figure in figures_of(season()).values()}


HERE = Path(__file__)
DECLARED = HERE.parent.parent / "workbook" / "results" / "litters"
MAKERS = ("Figure", "per", "share", "wilson_figure")


def untested(declared: str, tests: str) -> set[str]:
    """The ids of figures made in one source that no test of the other names."""
    made = {
        call.args[0].value for call in ast.walk(ast.parse(declared))
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in MAKERS
        and isinstance(call.args[0], ast.Constant)
    }
    functions = [one for one in ast.parse(tests).body if isinstance(one, ast.FunctionDef) and one.name.startswith("test_")]
    named = {node.value for one in functions for node in ast.walk(one) if isinstance(node, ast.Constant)}
    return {str(id) for id in made - named}


def test_every_figure_is_named_in_a_test_of_this_file() -> None:
    declared = "\n".join((DECLARED / f"{module}.py").read_text(encoding="utf-8") for module in ("figures", "weaned"))
    assert set() == untested(declared, HERE.read_text(encoding="utf-8"))
