"""Paper for what is still to come: who may still lamb, who is here, what is not counted or written yet, whom to look at."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from seasons import season

from demo_workbooks import CLEAN, FOLDER
from template_builder.build import Plan, build
from template_builder.layout.choices import Born, EweLeft, LambLeft, RearedBy, Stage, Trouble, WeightUnit
from template_builder.layout.columns import NOT_KNOWN, Row, Start
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.paper_tabs import LOOK_UP, PAPER_TABS, SHED, TONIGHT, WEIGHING
from template_builder.layout.settings import SETTING
from template_builder.paper.animals import PaperFlock, PaperLamb
from template_builder.paper.tonight import tonight_columns
from workbook.cli import main
from workbook.output.still_to_come import in_words, paper_flock
from workbook.output.summary.problem_ewes import HEADS
from workbook.reading.season_file import read

DUE = date(2026, 3, 20)
NIGHT = datetime(2026, 3, 15, 3)
EWES: list[Row] = [
    {"ewe": "0412", "scanned": 2, "due": DUE, "mark": "blue"}, {"ewe": "0415", "scanned": 1, "due": DUE - timedelta(4)},
    {"ewe": "0416", "scanned": 0}, {"ewe": "0417", "due": DUE}, {"ewe": "0418", "scanned": 3, "due": DUE, "mark": "red"},
]


def told(as_of: datetime = NIGHT, order: Order = Order.DUE, **more: list[Row]) -> PaperFlock:
    """The flock as laid ready with some rows written: rows of `more` go over those of the same ewe, or are added."""
    rows = lay_ready(EWES, order)
    for sheet, own in more.items():
        there = {row.get("ewe"): place for place, row in enumerate(rows.get(sheet, ()))}
        for row in own:
            if sheet in ("ewes", "lambing") and row.get("ewe") in there:
                rows[sheet][there[row["ewe"]]] = {**rows[sheet][there[row["ewe"]]], **row}
            else:
                rows.setdefault(sheet, []).append(row)
    return paper_flock(season(as_of, **rows))  # type: ignore[arg-type]  # sheet ids, none of them "file"


def to_lamb(flock: PaperFlock) -> list[str]:
    return [ewe.name for ewe in flock.to_lamb]


def here(flock: PaperFlock) -> list[str]:
    return [ewe.name for ewe in flock.ewes]


def test_as_built_it_says_what_the_build_says() -> None:
    rows = lay_ready(EWES)
    assert PaperFlock.of(rows) == paper_flock(season(NIGHT, **rows))  # type: ignore[arg-type]


@pytest.mark.parametrize("order", Order)
def test_ewes_still_to_lamb_stand_in_the_order_of_the_build(order: Order) -> None:
    rows = lay_ready(EWES, order)
    expected = {Order.DUE: ["0415", "0412", "0417", "0418"], Order.EWE: ["0412", "0415", "0417", "0418"],
                Order.DAY_BOOK: ["0415", "0412", "0417", "0418"]}
    assert expected[order] == to_lamb(paper_flock(season(NIGHT, **rows)))  # type: ignore[arg-type]


@pytest.mark.parametrize(("sheet", "row", "still_here"), [
    ("lambing", {"lambed_on": date(2026, 3, 14)}, True),
    ("lambing", {"born_alive": 2}, True),
    ("lambs", {"lamb_no": 1, "born": Born.ALIVE}, True),
    ("lambs", {"lamb_no": 1, "born": Born.ABORTED}, True),
    ("ewe_check", {"date": date(2026, 3, 14), "trouble": Trouble.ABORTED}, True),
    ("ewes", {"scanned": 0}, True),
    ("ewes", {"left_how": EweLeft.DIED}, False),
    ("ewes", {"left_how": EweLeft.SOLD}, False),
    ("ewes", {"left_on": date(2026, 3, 14)}, False),
    ("ewes", {"left_on": NOT_KNOWN}, False),
])
def test_who_has_lambed_or_is_gone_is_on_no_shed_sheet(sheet: str, row: Row, still_here: bool) -> None:
    flock = told(**{sheet: [{"ewe": "0412", **row}]})
    assert (["0415", "0417", "0418"], still_here) == (to_lamb(flock), "0412" in here(flock))


@pytest.mark.parametrize("row", [{"pen": "4"}, {"notes": "restless"}, {"waters_seen": NIGHT}])
def test_who_is_only_watched_is_still_to_lamb(row: Row) -> None:
    assert ["0415", "0412", "0417", "0418"] == to_lamb(told(lambing=[{"ewe": "0412", **row}]))


@pytest.mark.parametrize(("days", "may"), [(-1, True), (0, True), (1, False)])
def test_past_her_last_possible_day_she_is_not_waited_for(days: int, may: bool) -> None:
    most, usual = (SETTING[id].default for id in ("gestation_most", "gestation"))
    assert isinstance(most, int) and isinstance(usual, int)
    last = DUE + timedelta(most - usual)
    when = datetime.combine(last + timedelta(days), datetime.min.time())
    assert may is ("0412" in to_lamb(told(when)))


def test_who_is_past_her_day_is_told() -> None:
    rows = lay_ready(EWES)
    late = season(datetime(2026, 9, 1), **rows)  # type: ignore[arg-type]
    assert ("4 ewes not lambed are past their last possible day by 1 Sep 2026 and on no shed sheet; --as-of takes another day"
            in in_words(late, paper_flock(late)))
    soon = season(NIGHT, **rows)  # type: ignore[arg-type]
    assert "past" not in in_words(soon, paper_flock(soon))


def test_a_ewe_added_to_ewes_by_hand_comes_after_the_rows_laid_ready() -> None:
    flock = told(ewes=[{"ewe": "B2", "scanned": 1, "due": DUE - timedelta(9)}, {"ewe": "B1"}, {"ewe": "B3", "scanned": 0}])
    assert ["0415", "0412", "0417", "0418", "B2", "B1"] == to_lamb(flock)
    assert {"B1", "B2", "B3"} <= set(here(flock))


def test_before_scanning_nobody_is_waited_for_yet() -> None:
    flock = paper_flock(season(NIGHT, ewes=[{"ewe": "1"}, {"ewe": "2", "scanned": 2}, {"ewe": "3", "scanned": 0}]))
    assert (["2"], ["1", "2", "3"]) == (to_lamb(flock), here(flock))


def test_a_season_that_follows_one_without_animals_has_no_paper_yet(tmp_path: Path) -> None:
    build(tmp_path / "flock-2026.xlsx", Plan("Mead farm", {"season": [{"row_key": "year", "value": 2026}]}))
    done = CliRunner().invoke(main, ["build", "--previous", str(tmp_path / "flock-2026.xlsx")])
    assert f"Written: {tmp_path / 'flock-2027.xlsx'}\n" in done.output
    assert ["flock-2026.xlsx", "flock-2027.xlsx"] == sorted(path.name for path in tmp_path.iterdir())


def test_lines_of_a_day_book_are_printed_until_written_on() -> None:
    rows = lay_ready(EWES, Order.DAY_BOOK)
    rows["lambing"][1] = {**rows["lambing"][1], "ewe": "0412"}
    rows["lambs"][0] = {**rows["lambs"][0], "ewe": "0415"}  # of line 1, and nothing on Lambing yet
    flock = paper_flock(season(NIGHT, **rows))  # type: ignore[arg-type]
    assert [row["line"] for row in rows["lambing"]][2:] == list(flock.lines or ())
    assert None is told().lines


@pytest.mark.parametrize(("row", "weighed"), [
    ({}, True), ({"reared_by": RearedBy.PET}, True), ({"left_how": LambLeft.DIED}, False), ({"left_how": LambLeft.SOLD}, False),
    ({"left_how": LambLeft.MISSING}, False), ({"left_on": NIGHT.date()}, False), ({"born": Born.DEAD_FRESH}, False),
    ({"born": Born.ABORTED}, False),
])
def test_only_lambs_that_are_here_are_weighed(row: Row, weighed: bool) -> None:
    flock = told(lambs=[{"ewe": "0412", "lamb_no": 1, "tag": "7001", "born": Born.ALIVE, **row}])
    assert ([PaperLamb("7001", "" if row.get("reared_by") else "blue")] if weighed else []) == list(flock.lambs)


def test_lambs_stand_mark_by_mark_and_run_with_the_ewe_they_were_set_on_to() -> None:
    flock = told(lambs=[
        {"ewe": "0418", "lamb_no": 1, "born": Born.ALIVE}, {"ewe": "0412", "lamb_no": 1, "tag": "90", "born": Born.ALIVE},
        {"ewe": "0412", "lamb_no": 2, "tag": "9", "born": Born.ALIVE}, {"ewe": "0415", "lamb_no": 1, "born": Born.ALIVE},
        {"ewe": "0418", "lamb_no": 2, "tag": "8", "born": Born.ALIVE, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "0412"},
    ])
    assert [("8", "blue"), ("9", "blue"), ("90", "blue"), ("0418-1", "red"), ("0415-1", "")] == [*flock.lambs]


@pytest.mark.parametrize(("count", "left"), [
    ({"group": "Mead", "stage": Stage.MARKING}, {("High", Stage.MARKING)}),
    ({"group": " mead ", "stage": Stage.MARKING}, {("High", Stage.MARKING)}),
    ({"stage": Stage.MARKING}, set()),
    ({"group": "Mead"}, {("Mead", Stage.MARKING), ("High", Stage.MARKING)}),
])
def test_a_count_that_was_made_is_not_asked_for(count: Row, left: set[tuple[str, Stage]]) -> None:
    flock = told(groups=[{"group": "Mead"}, {"group": "High"}], counts=[{"date": NIGHT.date(), "lambs": 9, **count}])
    others = {(group, stage) for stage in Stage if stage is not Stage.MARKING for group in ("Mead", "High")}
    assert others | left == set(flock.counts)


def test_tonight_is_the_list_as_it_is_now_without_what_is_left_for_the_meeting() -> None:
    watched: list[Row] = [{"ewe": "0412", "waters_seen": datetime(2026, 3, 15, 0, 30), "pen": "7"}]
    (look,) = told(lambing=watched).tonight
    assert ("0412", "now", "7", "15 Mar 00:30") == (look.ewe, look.when, look.pen, look.since)
    assert "vet" in look.next_step.casefold()
    assert () == told().tonight


@pytest.mark.parametrize(("days", "listed"), [(6, True), (7, True), (8, False)])
def test_an_illness_seen_long_ago_is_not_on_tonights_list(days: int, listed: bool) -> None:
    """As the list on the screen has it: seven days after it was written down it is left for the end of the season."""
    looked: list[Row] = [{"ewe": "0412", "date": NIGHT.date() - timedelta(days), "trouble": Trouble.MASTITIS}]
    when = datetime.combine(NIGHT.date(), datetime.min.time())
    assert listed is bool(told(when, ewe_check=looked).tonight)


def test_a_pen_stands_on_the_look_up_list() -> None:
    assert {"0412": "7", "0415": ""} == {
        ewe.name: ewe.pen for ewe in told(lambing=[{"ewe": "0412", "pen": "7"}]).ewes if ewe.name in ("0412", "0415")}


def test_weights_are_in_the_unit_of_the_season() -> None:
    assert WeightUnit.LB is told(season=[{"row_key": "weights_in", "value": WeightUnit.LB}]).unit


def test_the_command_says_what_is_on_the_paper(tmp_path: Path) -> None:
    rows = lay_ready(EWES)
    rows["lambing"][1] = {**rows["lambing"][1], "waters_seen": datetime(2026, 3, 15, 0)}
    rows["lambing"][0] = {**rows["lambing"][0], "lambed_on": date(2026, 3, 14)}
    build(tmp_path / "flock-season.xlsx", Plan("Mead farm", {**rows, "groups": [{"group": "Mead"}]}, Start.INDOORS))
    done = CliRunner().invoke(main, ["paper", str(tmp_path / "flock-season.xlsx"), "--as-of", "2026-03-15 03:00"])
    assert "3 still to lamb, 5 ewes here, 1 to look at; counts not made yet: 3\n" in done.output
    book = load_workbook(tmp_path / "flock-paper.xlsx")
    assert (0, list(PAPER_TABS)) == (done.exit_code, book.sheetnames)
    assert all("Mead farm, as of 15 Mar 2026 03:00" in str(sheet.oddFooter.left.text) for sheet in book)
    ewes = {str(ewe["ewe"]) for ewe in EWES}
    named = {tab: ewes & {str(value) for row in book[tab].iter_rows(values_only=True) for value in row} for tab in PAPER_TABS}
    assert ({"0412", "0417", "0418"}, {"0412"}, ewes) == (named[SHED], named[TONIGHT], named[LOOK_UP])


def test_errors_in_the_records_are_told_and_paper_is_written_all_the_same(tmp_path: Path) -> None:
    rows = lay_ready([EWES[0], EWES[0]])
    build(tmp_path / "flock.xlsx", Plan("Mead farm", rows))
    done = CliRunner().invoke(main, ["paper", str(tmp_path / "flock.xlsx")])
    assert 1 == done.exit_code
    assert "in the records may keep animals on paper or off it" in done.output
    assert (tmp_path / "flock-paper.xlsx").exists()


def test_a_season_without_ewes_and_groups_has_nothing_to_print(tmp_path: Path) -> None:
    build(tmp_path / "flock.xlsx", Plan("Mead farm", {}))
    done = CliRunner().invoke(main, ["paper", str(tmp_path / "flock.xlsx")])
    assert (2, 1) == (done.exit_code, done.output.count("\n"))
    assert "there is nothing to print: no ewes on Ewes and no groups on Groups." in done.output
    assert ["flock.xlsx"] == [path.name for path in tmp_path.iterdir()]


def test_after_the_season_only_handling_counts_and_weighings_are_left() -> None:
    clean = read(FOLDER / CLEAN).season
    flock = paper_flock(clean)
    assert ([], []) == (list(flock.to_lamb), list(flock.counts))
    assert {"today", "soon"} == {look.when for look in flock.tonight}
    assert flock.lambs and flock.ewes and WEIGHING in PAPER_TABS
    assert in_words(clean, flock).splitlines()[0].endswith("; counts not made yet: none")


def test_tonights_list_has_the_headings_of_problem_ewes() -> None:
    """The same findings stand on a tab of the summary: in the same words, whatever the order."""
    on_paper = {column.title for column in tonight_columns(PaperFlock())}
    assert {head.title for head in HEADS} | {"Notes"} == on_paper
