"""Live sheets: what LibreOffice reckons is what Python wrote, and both say what the problem list of analyse says."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path

import pytest
from few_rows import of_few_ewes
from live_cells import Found, Step, differences, in_rows, ranked_as, reckoned, reckoned_each, typed
from office import taken
from troubled import NIGHT, Rows, day, many_troubles

from demo_workbooks import CLEAN, EMPTY, simulation
from demo_workbooks.simulation.half_way import half_season
from template_builder.build import Plan, build, last_row
from template_builder.files.opening import open_cells
from template_builder.files.strict import LayoutFault
from template_builder.layout.addresses import letters
from template_builder.layout.alerts import ALERTS, END
from template_builder.layout.choices import (
    Belly,
    Born,
    EweLeft,
    LambLeft,
    NextDay,
    RearedBy,
    Udder,
    YesNo,
)
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import LAMBS_A_LINE, Order, lay_ready
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.whole import FIRST_ROW, LIVE_TABS, PROGRESS_TAB, SHEET, TONIGHT_TAB
from template_builder.live.blocks import BLOCKS, TOP
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.ewe_block import EWES
from template_builder.live.tonight import FLOCK, TONIGHT
from template_builder.live_values import live_values, with_values
from template_builder.scan.by_ewe import read_scan_list
from template_builder.scan.season_rows import Mating, season_rows
from workbook.reading.season_file import read
from workbook.results.advice.problem_ewes import problem_ewes

pytestmark = pytest.mark.usefixtures("few_spare_rows")

DEMOS = Path(__file__).parent.parent / "demo_workbooks"


def empty() -> Rows:
    return season_rows(read_scan_list(DEMOS / "scan-list.csv").rows, Mating())


def half() -> Rows:
    return half_season(day(24))


def made(folder: Path, rows: Rows, moment: datetime = NIGHT) -> tuple[Path, Plan]:
    """A workbook of these rows with "as of" set, so that its clock stands still."""
    season = [row for row in rows.get("season", ()) if row["row_key"] != "as_of"]
    fixed = {**rows, "season": [*season, {"row_key": "as_of", "value": moment}]}
    plan = with_values(Plan("Live", fixed), moment)
    build(folder / "live.xlsx", plan)
    return folder / "live.xlsx", plan


def day_book() -> Rows:
    """Numbered lines: three lambings typed into the first of them, one ewe's number alone into the next, the rest untouched."""
    ewes: list[Row] = [{"ewe": f"{number}", "scanned": 2, "due": day(20 + number)} for number in range(5)]
    laid = lay_ready(ewes, Order.DAY_BOOK)
    lambing: list[Row] = [
        {"ewe": "3", "lambed_on": day(23), "all_well": YesNo.YES, "pen": "7"},
        {"ewe": "1", "lambed_on": day(24), "finished": time(2, 0), "sides_in_milk": 1},
        {"ewe": "0", "lambed_on": day(23), "all_well": YesNo.YES, "next_day": NextDay.ALL_FULL}, {"ewe": "4"},
    ]
    lambs: dict[int, Row] = {
        0: {"ewe": "3", "born": Born.ALIVE}, 1: {"ewe": "3", "born": Born.ALIVE, "belly": Belly.HOLLOW},
        LAMBS_A_LINE: {"ewe": "1", "born": Born.ALIVE}, 2 * LAMBS_A_LINE: {"ewe": "0", "born": Born.ALIVE},
        2 * LAMBS_A_LINE + 1: {"ewe": "0", "born": Born.ALIVE, "reared_by": RearedBy.PET},
    }
    return {
        "ewes": laid["ewes"],
        "lambing": [{**row, **own} for row, own in zip(laid["lambing"], [*lambing, *[{}] * len(laid["lambing"])], strict=False)],
        "lambs": [{**row, **lambs.get(place, {})} for place, row in enumerate(laid["lambs"])],
    }


SEASONS = {
    "day book": day_book, "empty": empty, "half": half, "full": simulation.clean_season, "messy": simulation.messy_season,
    "troubles": many_troubles,
}
FEW = 60  # ewes, more than tonight's list has rows for on the worst day
LARGE = {"empty", "half", "full"}  # all ewes of the demo, as in the messy one


@pytest.mark.parametrize("name", [
    pytest.param(name, marks=[pytest.mark.long] if name in {*LARGE, "messy"} else []) for name in SEASONS])
def test_libreoffice_reckons_what_was_written(tmp_path: Path, name: str) -> None:
    path, plan = made(tmp_path, SEASONS[name]())
    assert [] == differences(plan.live, reckoned(path, plan.rows))


def test_a_slip_of_the_year_does_not_empty_the_chart() -> None:
    rows = half()
    slipped = next(row for row in rows["lambing"] if isinstance(row.get("lambed_on"), date))
    wrong = [{**row, "lambed_on": day(9).replace(year=2025)} if row is slipped else row for row in rows["lambing"]]
    before, after = (sum(int(row["lambed"] or 0) for row in in_rows(live_values(season, NIGHT))["by_day"])
                     for season in (rows, {**rows, "lambing": wrong}))
    assert before - 1 == after > 0


def test_a_wrong_value_is_put_right_by_reckoning_anew(tmp_path: Path) -> None:
    rows = {**many_troubles(), "season": [{"row_key": "as_of", "value": NIGHT}]}
    live = dict(live_values(rows, NIGHT))
    live["ewes"] = {**live["ewes"], "scanned": [7, *live["ewes"]["scanned"][1:]]}
    build(tmp_path / "wrong.xlsx", Plan("Wrong", rows, live=live))
    stored = dict(open_cells(tmp_path / "wrong.xlsx", unread=set(LIVE_TABS) - {"_ewes"}).tabs["_ewes"])[TOP]
    assert 7 == next(cell.value for cell in stored if cell.column == EWES.places["scanned"])
    assert ["scanned"] == [column for _, _, column, *_ in differences(live, reckoned(tmp_path / "wrong.xlsx", rows))]


@pytest.mark.parametrize("left_out", [("ewes", "scanned"), ("cells", "minute"), ("tonight", "pen")])
def test_a_live_cell_without_its_value_is_an_error_of_the_build(tmp_path: Path, left_out: tuple[str, str]) -> None:
    block, column = left_out
    live = dict(live_values({}, NIGHT))
    live[block] = {id: cells for id, cells in live[block].items() if id != column}
    with pytest.raises(LayoutFault, match=rf"{block}\.{column}: 0 values"):
        build(tmp_path / "season.xlsx", Plan("Live", {}, live=live))


# Of the messy season the reader understands some slips; formulas put those ewes on top instead.
@pytest.mark.parametrize("name", [name for name in SEASONS if name != "messy"])
@pytest.mark.parametrize("moment", [datetime(2026, 3, 12, 23, 30), NIGHT, datetime(2026, 8, 31, 12)])
def test_tonights_list_says_what_analyse_says(tmp_path: Path, name: str, moment: datetime) -> None:
    rows = SEASONS[name]()
    path, plan = made(tmp_path, of_few_ewes(rows, FEW) if name in LARGE else rows, moment)
    season = read(path).season
    known = {ewe.name for ewe in season.flock.ewes.values() if ewe.record is not None}
    problems = [problem for problem in problem_ewes(season, moment) if problem.name in known]
    most_urgent = {(problem.name, problem.alert): problem.urgency for problem in reversed(problems)}
    expected = {(ewe, alert, urgency) for (ewe, alert), urgency in most_urgent.items()}
    assert expected == {
        (str(ewe["name"]), alert.title, ranked_as(int(ewe[raised_id(alert)]))[0])
        for ewe in in_rows(plan.live)["ewes"] for alert in ALERTS if ewe[raised_id(alert)]
    }
    first = list(dict.fromkeys(problem.name for problem in problems if problem.urgency < END))
    listed = [str(row["ewe"]) for row in in_rows(plan.live)["tonight"] if row["key"] != ""]
    assert set(first[:len(listed)]) >= set(listed) or len(first) > len(listed)
    assert min(len(first), len(in_rows(plan.live)["tonight"])) == len(listed)


# What is done to a cell -> the ewe that must stand on top; several at once, where each is another ewe's.
UNREADABLE: dict[str, tuple[Step, str]] = {
    "text in a date": (["set", "Lambing", "D4", "12/3 or so"], "0412"),
    "not in the list": (["set", "Lambs", "G4", "perhaps"], "0412"),
    "text in due": (["set", "Ewes", "C6", "soon"], "412"),
    "error in a date": (["formula", "Lambing", "D4", "=1/0"], "0412"),
    "error for a number": (["formula", "Ewes", "A6", "=1/0"], "row 6 of Ewes"),
    "text in a look": (["set", "Ewe check", "B4", "yesterday"], "mastitis"),
    "text in a treatment": (["set", "Treatments", "H5", "four weeks"], "treated"),
}
TOGETHER = (
    ("text in a date", "text in due", "text in a look", "text in a treatment"), ("not in the list", "error for a number"),
    ("error in a date",),
)
MOVED: tuple[Step, ...] = (
    ["delete_rows", "Ewes", 40, 3], ["insert_rows", "Ewes", 10, 1], ["insert_rows", "Lambing", 9, 2],
    ["sort", "Ewes", 2, 4], ["sort", "Lambing", 4, 4], ["sort", "Lambs", 5, 4],
)
DELETED_ROW, DELETED_COLUMN = ["delete_rows", "Ewes", 6, 1], ["delete_columns", "Lambing", 4, 1]


def _listed(watch: Sequence[Mapping[str, object]]) -> set[object]:
    shown = {row["ewe"] for row in watch if row["key"] != ""}
    assert not any(str(value).startswith(("#", "Err:")) for row in watch for value in row.values())
    return shown


@pytest.fixture(scope="module")
def accidents(tmp_path_factory: pytest.TempPathFactory) -> tuple[Plan, dict[str, Found]]:
    """The season of troubles, two ewes first on each sheet, and tonight's list after each accident, in one run."""
    rows = dict(many_troubles())
    rows["ewes"] = sorted(rows["ewes"], key=lambda row: {"0412": 0, "412": 1}.get(str(row["ewe"]), 2))
    rows["lambing"] = sorted(rows["lambing"], key=lambda row: row["ewe"] != "0412")
    rows["lambs"] = sorted(rows["lambs"], key=lambda row: row.get("ewe") != "0412")
    path, plan = made(tmp_path_factory.mktemp("accidents"), rows)
    shown = [block for block in BLOCKS if block.sheet is TONIGHT]
    trials = {str(names): [UNREADABLE[name][0] for name in names] for names in TOGETHER}
    trials |= {"moved": [*MOVED], "row": [DELETED_ROW], "column": [DELETED_COLUMN]}
    return plan, dict(zip(trials, reckoned_each(path, plan.rows, [*trials.values()], shown), strict=True))


def test_each_way_of_being_unreadable_is_tried() -> None:
    assert sorted(UNREADABLE) == sorted(name for names in TOGETHER for name in names)


@pytest.mark.parametrize("names", TOGETHER, ids=", ".join)
def test_what_cannot_be_read_puts_those_ewes_on_top(accidents: tuple[Plan, dict[str, Found]], names: tuple[str, ...]) -> None:
    plan, found = accidents
    watch, ewes = found[str(names)]["tonight"], {UNREADABLE[name][1] for name in names}
    assert "cannot be read" not in [row["seen"] for row in in_rows(plan.live)["tonight"]]
    assert ewes == {str(row["ewe"]) for row in watch if row["seen"] == "cannot be read"}
    of_ewes = [row for row in watch if row["whom"] != FLOCK]  # an alarm of the whole flock stands above all ewes
    assert ewes == {str(row["ewe"]) for row in of_ewes[:len(ewes)]}
    assert _listed(in_rows(plan.live)["tonight"]) - {*ewes, "412"} <= _listed(watch)


def test_moving_rows_about_changes_no_list(accidents: tuple[Plan, dict[str, Found]]) -> None:
    plan, found = accidents
    assert _listed(in_rows(plan.live)["tonight"]) == _listed(found["moved"]["tonight"])


def test_a_deleted_row_takes_only_its_own_ewe_off_the_list(accidents: tuple[Plan, dict[str, Found]]) -> None:
    plan, found = accidents
    expected = _listed(in_rows(plan.live)["tonight"])
    assert "412" == plan.rows["ewes"][2]["ewe"] and "412" in expected
    assert expected - {"412"} == _listed(found["row"]["tonight"])


def test_a_deleted_column_puts_every_ewe_on_the_list(accidents: tuple[Plan, dict[str, Found]]) -> None:
    plan, found = accidents
    unread = {str(row["ewe"]) for row in found["column"]["tonight"] if row["seen"] == "cannot be read"}
    touched = plan.live["lambing"]["touched"]
    lambing = {str(row["ewe"]) for row, written in zip(plan.rows["lambing"], touched, strict=False) if written}
    here = {str(row["ewe"]) for row in plan.rows["ewes"] if "left_on" not in row}
    assert lambing & here == unread


def test_an_untouched_line_of_a_day_book_is_no_lamb() -> None:
    live = in_rows(live_values(day_book(), NIGHT))
    assert (4, 5) == (sum(int(row["touched"]) for row in live["lambing"]), sum(int(row["touched"]) for row in live["lambs"]))
    assert ["0-2"] == [row["lamb"] for row in live["spare"] if row["key"] != ""]


# Rows nobody laid ready: what is written where, and how many of which sheet the lists then do not read.
_LAST = {sheet.id: last_row(sheet, len(many_troubles().get(sheet.id, ()))) for sheet in SHEETS}
BELOW: dict[str, tuple[Sequence[Step], Mapping[str, int]]] = {
    "one typed below on each": ([
        ["set", "Lambing", f"A{_LAST['lambing'] + 1}", "0412"], ["set", "Lambs", f"E{_LAST['lambs'] + 3}", "alive"],
        ["set", "Ewes", f"A{_LAST['ewes'] + 1}", "9999"], ["set", "Ewe check", f"A{_LAST['ewe_check'] + 2}", "412"],
        ["formula", "Treatments", f"B{_LAST['treatments'] + 2}", "=1/0"],
    ], {"lambing": 1, "lambs": 1, "ewes": 1, "checks": 1, "treatments": 1}),
    "pushed down": ([["insert_rows", "Lambing", 5, LAMBING.spare_rows + 2]], {"lambing": 2}),
    "spare rows pushed down, a last row deleted": (
        [["insert_rows", "Lambs", 5, 2], ["delete_rows", "Lambing", _LAST["lambing"], 1]], {}),
}
_COUNTED = ("lambing", "lambs", "ewes", "checks", "treatments")


@pytest.fixture(scope="module")
def below(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Mapping[str, object]]:
    """The single cells of the season of troubles after each of these steps."""
    path, plan = made(tmp_path_factory.mktemp("below"), many_troubles())
    steps = [steps for steps, _ in BELOW.values()]
    return {name: found["cells"][0] for name, found in zip(BELOW, reckoned_each(path, plan.rows, steps, ()), strict=True)}


@pytest.mark.long
@pytest.mark.parametrize("name", BELOW)
def test_rows_below_those_laid_ready_are_told(below: dict[str, Mapping[str, object]], name: str) -> None:
    counts = BELOW[name][1]
    assert {sheet: counts.get(sheet, 0) for sheet in _COUNTED} == {sheet: below[name][f"below_{sheet}"] for sheet in _COUNTED}
    assert sum(counts.values()) == below[name]["below"]


def test_tonight_and_progress_say_so(tmp_path: Path) -> None:
    path, plan = made(tmp_path, many_troubles())
    typed = [["set", "Lambing", f"A{_LAST['lambing'] + number}", "0412"] for number in (1, 2)]
    tabs = (TONIGHT_TAB, PROGRESS_TAB)
    watch, progress = taken(path, [*typed, ["recalculate"], *(["contents", tab] for tab in tabs)])
    assert any("2 rows are written below" in str(words) for words in watch.values())
    beside = {words: progress.get(cell.replace("D", "F", 1)) for cell, words in progress.items() if cell.startswith("D")}
    assert "Rows below, not read" in beside
    assert 2 == beside["On Lambing"]


def test_the_clean_and_the_empty_demo_read_back_the_same() -> None:
    for name in (CLEAN, EMPTY):
        assert () == read(DEMOS / name).season.own_sheets


@pytest.mark.long
def test_a_column_of_ones_own_touches_no_row(tmp_path: Path) -> None:
    path, plan = made(tmp_path, many_troubles())
    steps = [["number_column", SHEET[sheet].title, before, FIRST_ROW, last_row(SHEET[sheet], len(plan.rows[sheet]))]
             for sheet, before in (("lambs", 5), ("lambing", 4))]
    (found,) = reckoned_each(path, plan.rows, [steps], [block for block in BLOCKS if block.sheet.id in ("lambs", "lambing")])
    for sheet in ("lambs", "lambing"):
        touched = list(plan.live[sheet]["touched"])
        assert {0, 1} == set(touched)
        assert touched == [row["touched"] for row in found[sheet]]


def test_a_live_column_without_all_its_values_is_a_fault_of_the_build(tmp_path: Path) -> None:
    plan = with_values(Plan("Short", lay_ready([{"ewe": "0412", "scanned": 2}])), NIGHT)
    lambs = plan.live["lambs"]
    short = {**lambs, "rearer": lambs["rearer"][:-1]}
    with pytest.raises(LayoutFault, match=r"lambs\.rearer: 61 values for 62 live cells"):
        build(tmp_path / "season.xlsx", replace(plan, live={**plan.live, "lambs": short}))
    with pytest.raises(LayoutFault, match=r"lambs\.rearer: 0 values for 62 live cells"):
        without = {id: values for id, values in lambs.items() if id != "rearer"}
        build(tmp_path / "season.xlsx", replace(plan, live={**plan.live, "lambs": without}))


# What is typed into a workbook as it was opened: sheet, ewe or row, column, value.
TYPED: tuple[tuple[str, int, str, Value, object], ...] = (
    ("lambing", 0, "all_well", YesNo.YES, "yes"), ("lambing", 8, "lambed_on", day(24), 46105),
    ("lambs", 0, "belly", Belly.HOLLOW, "hollow"),
    ("lambs", 3, "left_how", LambLeft.DIED, "died"), ("ewe_check", 0, "udder", Udder.HARD, "hard"),
    ("treatments", 3, "withdrawal", 7, 7), ("ewes", 1, "left_how", EweLeft.SOLD, "sold"),
    # Plan and Turnout: feeding groups, what falls due, who is still to go out.
    ("ewes", 3, "scanned", 3, 3), ("ewes", 5, "due", day(18), 46099), ("ewes", 7, "condition", 2, 2),
    ("lambing", 3, "turned_out_on", day(24), 46105), ("groups", 0, "turnout", day(24), 46105),
)


def test_what_is_typed_is_reckoned_without_reckoning_everything(tmp_path: Path) -> None:
    path, plan = made(tmp_path, many_troubles())
    steps, rows = [], {id: [*own] for id, own in plan.rows.items()}
    for id, place, column, value, written in TYPED:
        at = [one.id for one in SHEET[id].arranged(day_book=False)].index(column) + 1
        steps.append(["set", SHEET[id].title, f"{letters(at)}{FIRST_ROW + place}", written])
        rows[id][place] = {**rows[id][place], column: value}
    assert [] == differences(live_values(rows, NIGHT), typed(path, plan.rows, steps))
