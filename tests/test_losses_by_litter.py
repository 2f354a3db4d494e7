"""The pack's table of losses: every row adds up across, and nothing is counted over lambs it does not belong to."""

from datetime import date, datetime
from functools import cache

import pytest
from edge_seasons import edge_season
from seasons import season

from demo_workbooks import FOLDER, HILL_CLEAN, MESSY
from template_builder.files.tab import Cell
from template_builder.layout.choices import Born, HowRecorded, LambLeft, Stage
from template_builder.layout.columns import Row
from workbook.output.summary.flags import flags_of
from workbook.output.summary.group_table import netted_words
from workbook.output.summary.losses_by_litter import COUNTED_GROUPS, MOST_CLASSES, Class, classes_of, losses_by_litter, lost_in
from workbook.output.summary.pack import Around, Part
from workbook.output.summary.page_one import lost_by_stage, split_by
from workbook.output.summary.phrases import missing_words
from workbook.output.summary.places import places_of
from workbook.reading.season_file import Reading, read
from workbook.results.litters.lines import ALL, COUNT
from workbook.results.pipeline import Result, analyse

NOW = datetime(2026, 9, 1, 12)
MARKED, WEANED = date(2026, 6, 1), date(2026, 8, 1)


@cache
def demo(name: str) -> Result:
    return analyse(read(FOLDER / name))


def of_sizes(*sizes: int, groups: tuple[Row, ...] = (), counts: tuple[Row, ...] = ()) -> Result:
    """A ewe of each size, all her lambs born and the first of each dead; she runs in Park."""
    ewes: list[Row] = [{"ewe": str(size), "scanned": size, "group": "Park"} for size in sizes]
    lambs: list[Row] = [
        {"ewe": str(size), "lamb_no": number, "born": Born.ALIVE,
         **({"left_on": date(2026, 4, 2), "left_how": LambLeft.DIED} if number == 1 else {})}
        for size in sizes for number in range(1, max(size, 1) + 1)]
    lambing: list[Row] = [{"ewe": str(size), "lambed_on": date(2026, 4, 1)} for size in sizes]
    return analyse(Reading(season(NOW, ewes=ewes, lambing=lambing, lambs=lambs, counts=list(counts),
                                  groups=[{"group": "Park", "ewes_to_ram": len(sizes)}, *groups]), ()))


def by_counts(*names: str, known: int = 30, weaned: int = 20) -> tuple[tuple[Row, ...], tuple[Row, ...]]:
    """Groups without a book: `known` single lambs scanned in each, 25 marked, `weaned` weaned."""
    groups: tuple[Row, ...] = tuple({
        "group": name, "how_recorded": HowRecorded.COUNTS_ONLY, "ewes_to_ram": known, "tally_ewes": known, "tally_1": known,
    } for name in names)
    counts: tuple[Row, ...] = tuple(
        {"date": day, "group": name, "stage": stage, "lambs": lambs}
        for name in names for day, stage, lambs in ((MARKED, Stage.MARKING, 25), (WEANED, Stage.WEANING, weaned)))
    return groups, counts


def part_of(of: Result) -> Part:
    places = places_of(of.season)
    part = losses_by_litter(Around(of, places, flags_of(of, places)))
    assert part is not None
    return part


def table(of: Result) -> dict[str, list[object]]:
    """The rows of the table by their label, under "" the headings."""
    part = part_of(of)
    plain = [[cell.value if isinstance(cell, Cell) else cell for cell in row] for row in part.rows]
    return {"": [head.title for head in part.heads[1:]], **{str(row[0]): row[1:] for row in plain}}


def unbalanced(of: Result) -> list[str]:
    """Rows whose classes do not add up to the column of all; shares are no counts."""
    return [label for label, row in table(of).items() if label and not label.startswith("lost of")
            and sum(int(str(one)) for one in row[:-1]) != row[-1]]


@pytest.mark.parametrize("name", [HILL_CLEAN, MESSY])
def test_every_row_adds_up_across_in_the_demos(name: str) -> None:
    assert [] == unbalanced(demo(name))


@pytest.mark.parametrize("seed", range(25))
def test_every_row_adds_up_across_in_any_season(seed: int) -> None:
    rows, now = edge_season(seed)
    of = analyse(Reading(season(now, **rows), ()))
    if lost_in(of) and not of.by_counts_alone:
        assert [] == unbalanced(of)


@pytest.mark.parametrize(("most", "last"), [
    (MOST_CLASSES - 1, str(MOST_CLASSES - 1)), (MOST_CLASSES, str(MOST_CLASSES)), (MOST_CLASSES + 1, f"{MOST_CLASSES} or more"),
])
def test_the_largest_litters_stand_together_where_not_all_sizes_fit(most: int, last: str) -> None:
    of = of_sizes(*range(1, most + 1))
    found = classes_of(of, lost_in(of))
    assert (min(most, MOST_CLASSES), last) == (len(found), found[-1].title)
    assert [] == unbalanced(of)


def test_a_lamb_short_at_a_count_stands_apart_and_is_no_share_of_groups_without_a_book() -> None:
    """Park: 1, 2 and 3 lambs, one of each dead, so 3 in the book and 2 counted. Heft: 30 scanned, 20 weaned."""
    groups, counts = by_counts("Heft")
    short: Row = {"date": WEANED, "group": "Park", "stage": Stage.WEANING, "lambs": 2}
    of = of_sizes(1, 2, 3, groups=groups, counts=(*counts, short))
    rows = table(of)
    assert {COUNT, COUNTED_GROUPS} <= {name for one in classes_of(of, lost_in(of)) for name in one.names}
    column = dict(zip([str(title) for title in rows[""]], zip(rows["all lost"], rows["of lambs known"], rows["lost of 100 known"],
                                                              strict=True), strict=True))
    assert (1, 0, None) == column["short at a count"]
    assert (10, 30) == column["by counts only"][:2]
    assert pytest.approx(100 / 3) == column["by counts only"][2]
    assert [] == unbalanced(of)
    assert "Lambs short at a count have no row of their own" in part_of(of).note


def test_none_short_and_nothing_is_said_of_it() -> None:
    of = of_sizes(1, 2)
    assert "short" not in part_of(of).note
    assert (Class("1", ("1",)), Class("2", ("2",))) == classes_of(of, lost_in(of))


def alone() -> Result:
    """Two groups by counts and nothing else; Low loses 5 to marking and 7 to weaning."""
    (high, low), counts = by_counts("High", "Low")
    counts = tuple({**row, "lambs": 18} if row["group"] == "Low" and row["stage"] is Stage.WEANING else row for row in counts)
    return analyse(Reading(season(NOW, groups=[high, low], counts=list(counts)), ()))


def test_a_flock_by_counts_alone_is_told_by_group_and_never_by_stage() -> None:
    of, part = alone(), part_of(alone())
    assert (("High", 10), ("Low", 12)) == lost_by_stage(of)
    assert "Lambs lost, by group" == part.title
    rows = table(of)
    assert ["scanning to marking", "to weaning", "All lost", "Of lambs known", "Lost of 100 known"] == rows[""]
    assert [5, 5, 10, 30] == rows["High"][:4]
    assert [5, 7, 12, 30] == rows["Low"][:4]
    assert [10, 12, 22, 60] == rows["all groups"][:4]
    assert [pytest.approx(100 * lost / of) for lost, of in ((10, 30), (12, 30), (22, 60))] == [
        row[4] for label, row in rows.items() if label]


def test_the_picture_says_what_its_bars_are() -> None:
    groups, counts = by_counts("Heft")
    mixed, none_lost = of_sizes(1, groups=groups, counts=counts), of_sizes(1, groups=groups)
    assert ["by group", "by stage, counted groups apart", "by stage", "by stage"] == [
        split_by(of) for of in (alone(), mixed, none_lost, of_sizes(1))]


def test_what_a_flock_by_counts_alone_does_not_know_is_said_once() -> None:
    assert ["births, causes of loss and single ewes not recorded in High, Low, known by counts only"] == missing_words(alone())


def test_a_group_without_a_book_is_named_as_outside_the_tables_of_losses() -> None:
    groups, counts = by_counts("Heft")
    assert "known by counts only, so in no figure per ewe and no table of Losses: Heft" in missing_words(
        of_sizes(1, groups=groups, counts=counts))


def test_a_group_with_nothing_lost_has_its_row_and_all_is_the_account_of_the_groups() -> None:
    groups, counts = by_counts("High", "Low", weaned=25)
    of = analyse(Reading(season(NOW, groups=list(groups), counts=[
        {**row, "lambs": 30} if row["group"] == "Low" else row for row in counts]), ()))
    assert [0, 0, 0, 30, 0.0] == table(of)["Low"]
    assert {"High": 5} == dict(lost_by_stage(of))
    assert ALL not in {name for one in classes_of(of, lost_in(of)) for name in one.names}


def netted(*, unscanned: int) -> Result:
    """Park: 3 lambs scanned, of them 1 dead at marking, and lambs of ewes nobody scanned that are counted with the others."""
    ewes: list[Row] = [{"ewe": "1", "scanned": 3, "group": "Park"}, {"ewe": "2", "group": "Park"}]
    dead: Row = {"left_on": date(2026, 4, 2), "left_how": LambLeft.DIED}
    lambs: list[Row] = [{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, **dead}]
    lambs += [{"ewe": "1", "lamb_no": number, "born": Born.ALIVE} for number in (2, 3)]
    lambs += [{"ewe": "2", "lamb_no": number, "born": Born.ALIVE} for number in range(1, unscanned + 1)]
    counts: list[Row] = [{"date": day, "group": "Park", "stage": stage, "lambs": 2 + unscanned}
                         for day, stage in ((MARKED, Stage.MARKING), (WEANED, Stage.WEANING))]
    lambing: list[Row] = [{"ewe": "1", "lambed_on": date(2026, 4, 1)}]
    return analyse(Reading(season(NOW, ewes=ewes, lambing=lambing, lambs=lambs, counts=counts,
                                  groups=[{"group": "Park", "ewes_to_ram": 2}]), ()))


def test_groups_that_lost_fewer_than_the_account_say_why() -> None:
    assert "" == netted_words(netted(unscanned=0))
    assert netted_words(netted(unscanned=1)).endswith("0 here, 1 in the account above.")
    assert "" == netted_words(alone())
