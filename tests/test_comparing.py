"""A group of farms: like with like, quartiles, letters and their key, no name in what is sent on, a page for each farm."""

import re
import shutil
import zipfile
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner, Result
from examples import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from known_truth.lives import flock
from known_truth.records import written
from openpyxl import load_workbook
from scipy import stats
from seasons import season
from simulated_farms import EWES, FARMS, PLANTED, UNKNOWN, as_numbers, farm, write_workbook

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN, PAPER, SUMMARY
from template_builder.files.told import Told
from template_builder.files.written import as_written
from template_builder.layout.choices import Born, HowRecorded, Kept, LambLeft, Stage
from template_builder.layout.columns import Start
from template_builder.layout.group_tabs import ALL_FIGURES, BESIDE, FARMS_IN, GROUP, KEY, QUARTILES, SIDE_BY_SIDE, YOUR_FARM
from workbook.cli import main
from workbook.comparing import files as files_module
from workbook.comparing.book import write_group
from workbook.comparing.cells import published
from workbook.comparing.farm import Farm, Number, Recorded, Where, numbers_of, recorded_of, where_of
from workbook.comparing.farm_page import write_farm_page
from workbook.comparing.files import Asked, compare_files, once_each, read_farms
from workbook.comparing.frames import QUARTERS
from workbook.comparing.funnels import words
from workbook.comparing.group import Compared, compared
from workbook.comparing.letters import Named, key_of, letter, lettered, read_key, write_key
from workbook.comparing.like import LEAST_FARMS, like
from workbook.comparing.looking import Job, Left, farm_of, look_at
from workbook.comparing.measures import MEASURE, MEASURES, Since
from workbook.comparing.side_by_side import ON_A_PAGE
from workbook.many.line import Kind
from workbook.many.looking import what_it_is
from workbook.output.summary.book import write_summary
from workbook.reading.season_file import Reading, read
from workbook.results.pipeline import analyse
from workbook.results.statistics.funnel import FAR

LOSS = "loss_live_born_pct"


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], prog_name="lambing-workbook")


def share(lost: int, of: int, recorded: Recorded = Recorded.LAMB, why: str = "") -> Number:
    return Number(lost, of, 100 * lost / of, "%", recorded, why=why)


def group(*shares: tuple[int, int], measure: str = LOSS) -> Compared:
    return compared([farm(f"Flock {number}", {measure: share(*one)}) for number, one in enumerate(shares)])


def of(found: Compared, measure: str = LOSS) -> pd.DataFrame:
    return found.figures[found.figures["figure"] == measure]


def texts(path: Path) -> str:
    """Everything in a workbook, every part of it unpacked."""
    with zipfile.ZipFile(path) as parts:
        return "\n".join(parts.read(name).decode("utf-8", "replace") for name in parts.namelist())


def numbers_in(path: Path) -> set[float]:
    """All numbers with a fraction in a workbook, on hidden tabs too."""
    cells = (cell for sheet in load_workbook(path) for row in sheet.values for cell in row)
    return {round(cell, 9) for cell in cells if isinstance(cell, float)}


@settings(max_examples=examples(30), deadline=None)
@given(st.lists(st.tuples(st.integers(0, 60), st.integers(60, 400)), min_size=LEAST_FARMS, max_size=40))
def test_quartiles_and_places_are_those_of_numpy_and_scipy(shares: list[tuple[int, int]]) -> None:
    found = of(group(*shares))
    values = np.array([100 * lost / of for lost, of in shares])
    for column, quarter in (("lower_quartile", 25), ("median", 50), ("upper_quartile", 75)):
        assert pytest.approx(np.percentile(values, quarter)) == found[column].iloc[0]
        assert 1 == found[column].nunique()
    assert sorted(stats.rankdata(values, "min").tolist()) == sorted(found["place"].tolist())
    assert {len(shares)} == set(found["farms"])
    quarters = [QUARTERS[int((value > np.percentile(values, [25, 50, 75]) + 1e-9).sum())] for value in found["value"]]
    assert quarters == found["quarter"].tolist()


@pytest.mark.parametrize(("farms", "shown"), [(LEAST_FARMS - 1, False), (LEAST_FARMS, True), (LEAST_FARMS + 1, True)])
def test_few_farms_have_neither_quartiles_nor_place_nor_limits(farms: int, shown: bool, tmp_path: Path) -> None:
    found = group(*[(7 + number, 101) for number in range(farms)])
    assert shown == of(found)["median"].notna().all() == of(found)["place"].notna().all() == bool(found.funnels)
    assert shown == (of(found)["why"] == "").all()
    assert shown == (not found.group.empty)
    write_farm_page(tmp_path / "page.xlsx", found, found.farms[0])
    own, *others = (round(one.numbers[LOSS].value or 0, 9) for one in found.farms)
    cells = numbers_in(tmp_path / "page.xlsx")
    assert own in cells
    if not shown:
        assert not set(others) & cells


def test_together_is_the_sum_over_the_sum() -> None:
    found = group((5, 100), (10, 100), (30, 120), (4, 80), (11, 100))
    assert pytest.approx(100 * 60 / 500) == found.group["pooled"].iloc[0]
    assert [60, 500] == found.group[["numerator", "denominator"]].iloc[0].tolist()


def test_farms_that_record_or_lamb_otherwise_stand_apart_and_a_scan_does_not_ask() -> None:
    ways = [(Recorded.LAMB, Where.INDOORS)] * 5 + [(Recorded.COUNT, Where.OUTDOORS)] * 6 + [(Recorded.LAMB, Where.OUTDOORS)]
    shares = [{LOSS: share(9 + number, 100, way), "empty_pct": share(number, 100)} for number, (way, _) in enumerate(ways)]
    farms = [farm(f"F{number}", shares[number], where) for number, (_, where) in enumerate(ways)]
    found = compared(farms)
    sizes = of(found).groupby("like")["farm"].size().to_dict()
    assert {"by lamb, indoors": 5, "by count, outdoors": 6, "by lamb, outdoors": 1} == sizes
    assert "only 1 farm by lamb, outdoors: quartiles from 5 on" == of(found).set_index("like").loc["by lamb, outdoors", "why"]
    assert {12} == set(of(found, "empty_pct")["farms"])
    assert [5, 6] == sorted(len(funnel.farms) for funnel in found.funnels if funnel.measure.id == LOSS)
    beside = compared(farms, together=True)
    assert {"by lamb": 6, "by count": 6} == of(beside).groupby("like")["farm"].size().to_dict()


def test_a_farm_that_does_not_say_where_its_ewes_lamb_is_compared_with_nobody_but_in_what_the_scan_found() -> None:
    farms = [replace(one, where=Where.NOT_WRITTEN) for one in as_numbers(6)]
    found = compared(farms)
    assert {"Groups does not say whether ewes lamb indoors or outdoors"} == set(of(found)["why"])
    assert {"empty_pct"} == {funnel.measure.id for funnel in found.funnels}
    assert {""} == set(of(compared(farms, together=True))["why"])


def test_lambs_missed_at_a_count_keep_losses_out_of_classes_where_they_are_many() -> None:
    """Of ten lost two short at a count are few enough; three are not: a count does not say whose lambs they were."""
    day = date(2026, 3, 1)
    ewes = [{"ewe": str(number), "scanned": 1, "group": "A"} for number in range(20)]
    lambing = [{"ewe": row["ewe"], "lambed_on": day} for row in ewes]

    def why(died: int, short: int) -> str:
        lambs = [{"ewe": row["ewe"], "lamb_no": 1, "born": Born.ALIVE, "tag": f"T{at}",
                  **({"left_how": LambLeft.DIED, "left_on": day} if at < died else {})} for at, row in enumerate(ewes)]
        count = {"date": date(2026, 6, 1), "group": "A", "stage": Stage.WEANING, "lambs": 20 - died - short}
        groups = [{"group": "A", "weaning": date(2026, 6, 1)}]
        made = season(ewes=ewes, lambing=lambing, lambs=lambs, counts=[count], groups=groups)
        return numbers_of(analyse(Reading(made, ())))["loss_singles"].why

    assert "" == why(9, 1) == why(8, 2)
    assert "3 of 10 lambs lost were short at a count, and a count does not say whose they were" == why(7, 3)


@pytest.mark.parametrize(("dated", "why"), [(9, ""), (8, ""), (7, "for 3 of 10 lambs lost it is not known when")])
def test_losses_of_the_first_days_need_their_days(dated: int, why: str) -> None:
    """Ten of forty lost, of which so many on the day after birth and the others on no day that is written."""
    born, gone = date(2026, 3, 1), date(2026, 3, 2)
    ewes = [{"ewe": str(number), "scanned": 2} for number in range(20)]
    lost = [{"left_how": LambLeft.DIED, **({"left_on": gone} if at < dated else {})} for at in range(10)] + [{}] * 30
    lambs = [{"ewe": str(at // 2), "lamb_no": at % 2 + 1, "born": Born.ALIVE, **lost[at]} for at in range(40)]
    lambing = [{"ewe": row["ewe"], "lambed_on": born} for row in ewes]
    made = season(ewes=ewes, lambing=lambing, lambs=lambs, groups=[{"group": "A", "weaning": date(2026, 6, 1)}])
    number = numbers_of(analyse(Reading(made, ())))["loss_first_days"]
    assert (dated, 40, why) == (number.numerator, number.denominator, number.why)
    assert number.effect > 1


@pytest.mark.parametrize(("since", "recorded", "expected"), [
    (Since.SCANNED, Recorded.COUNT, "all farms"), (Since.BORN, Recorded.LAMB, "by lamb or ewe, indoors"),
    (Since.BORN, Recorded.EWE, "by lamb or ewe, indoors"), (Since.BORN, Recorded.MIXED, "by lamb or ewe, indoors"),
    (Since.BORN, Recorded.COUNT, "by count, indoors"), (Since.WEANED, Recorded.EWE, "by ewe, indoors"),
])
def test_what_farms_must_have_in_common(since: Since, recorded: Recorded, expected: str) -> None:
    measure = next(one for one in MEASURES if one.since is since)
    assert expected == like(measure, recorded, Where.INDOORS)


@pytest.mark.parametrize(("groups", "whole", "book"), [
    ([], Recorded.EWE, Recorded.EWE), ([{"group": "A", "how_recorded": HowRecorded.EACH_LAMB}], Recorded.LAMB, Recorded.LAMB),
    ([{"group": "A", "how_recorded": HowRecorded.COUNTS_ONLY}], Recorded.COUNT, Recorded.COUNT),
    ([{"group": "A", "how_recorded": HowRecorded.EACH_EWE}, {"group": "B", "how_recorded": HowRecorded.COUNTS_ONLY}],
     Recorded.MIXED, Recorded.EWE),
    ([{"group": "A", "how_recorded": HowRecorded.EACH_EWE}, {"group": "B", "how_recorded": HowRecorded.EACH_LAMB}],
     Recorded.MIXED, Recorded.MIXED),
])
def test_how_a_farm_records(groups: list[dict[str, Any]], whole: Recorded, book: Recorded) -> None:
    assert (whole, book) == recorded_of(season(groups=groups))


def test_blank_is_by_lamb_where_lambs_have_rows() -> None:
    assert Recorded.LAMB is recorded_of(season(ewes=[{"ewe": "A"}], lambs=[{"ewe": "A", "lamb_no": 1, "tag": "7"}]))[0]


@pytest.mark.parametrize(("kept", "start", "expected"), [
    ([Kept.INDOORS], Start.OUTDOORS, Where.INDOORS), ([Kept.OUTDOORS], Start.INDOORS, Where.OUTDOORS),
    ([Kept.INDOORS, Kept.OUTDOORS], Start.INDOORS, Where.BOTH), ([None], Start.INDOORS, Where.INDOORS),
    ([], Start.OUTDOORS, Where.OUTDOORS), ([None], Start.SIMPLE, Where.NOT_WRITTEN),
])
def test_where_ewes_lamb(kept: list[Kept | None], start: Start, expected: Where) -> None:
    groups = [{"group": str(number), "kept": where} for number, where in enumerate(kept)]
    assert expected is where_of(replace(season(groups=groups), start=start))


def test_why_a_figure_is_compared_with_nobody() -> None:
    ewes = [{"ewe": str(number), "scanned": 2, "mated_on": date(2025, 10, 5)} for number in range(9)]
    born = [{"ewe": str(number), "lamb_no": 1, "born": Born.ALIVE} for number in range(9)]

    def of_season(month: int, **rows: Any) -> Mapping[str, Number]:
        return numbers_of(analyse(Reading(season(datetime(2026, month, 8), ewes=ewes, **rows), ())))

    numbers = of_season(2)
    assert "nothing born is written yet" == numbers["stillbirth_pct"].why
    assert "too few to say: 9 ewes scanned" == numbers["empty_pct"].why
    assert numbers["empty_pct"].value is None
    lambing = of_season(3, lambing=[{"ewe": "1", "lambed_on": date(2026, 3, 1)}], lambs=born[1:2])
    assert {"ewes are still to lamb"} == {lambing[id].why for id in ("stillbirth_pct", LOSS, "reared_pct")}
    lambed = of_season(5, lambing=[{"ewe": row["ewe"], "lambed_on": date(2026, 3, 1)} for row in born], lambs=born)
    assert {"not followed to weaning yet"} == {lambed[id].why for id in (LOSS, "total_loss_pct", "reared_pct")}
    assert "too few to say: 9 lambs born, alive or dead" == lambed["stillbirth_pct"].why
    counted = {"group": "A", "how_recorded": HowRecorded.COUNTS_ONLY, "tally_ewes": 40, "tally_0": 2, "tally_1": 38}
    by_count = numbers_of(analyse(Reading(season(groups=[counted]), ())))
    assert "known by counts only: births are not recorded" == by_count["stillbirth_pct"].why
    assert ("", 2, 40) == (by_count["empty_pct"].why, by_count["empty_pct"].numerator, by_count["empty_pct"].denominator)


@pytest.mark.parametrize("number", [0, *(pytest.param(number, marks=pytest.mark.long) for number in range(1, 8))])
def test_each_farms_numbers_are_those_of_its_own_summary(number: int, tmp_path: Path) -> None:
    """Of invented farms drawn anew: the cells of All figures against the cells of Method in the summary of the same season."""
    dice = Random(f"own summary {number}")
    seasons = [replace(written(dice, flock(dice, dice.randrange(25, 45))), file=f"{name}.xlsx") for name in "ab"]
    results = [analyse(Reading(one, ())) for one in seasons]
    found = compared([farm_of(result, result.season.file) for result in results])
    for result in results:
        path = tmp_path / f"{number}-{result.season.file}"
        write_summary(result, path)
        shown = {str(row[0]): row[2:4] for row in load_workbook(path)["Method"].iter_rows(values_only=True) if row[0]}
        own = next(one for one in found.farms if one.file == result.season.file)
        rows = found.figures[found.figures["farm"] == own.letter].set_index("figure")
        known = {figure.id: figure for figure in result.figures}
        compared_here = [id for id in rows.index if id in known and known[id].label in shown]
        assert len(compared_here) > 10
        for id in compared_here:
            expected = [None if cell is None else pytest.approx(float(str(cell))) for cell in shown[known[id].label]]
            got = [None if pd.isna(one) else one for one in rows.loc[id, ["numerator", "denominator"]]]
            assert expected == got, id
        for id, size in (("loss_singles", "1"), ("loss_twins", "2")):
            table = next(table for table in result.losses if table.id == "litter_size")
            one = next(one for one in table.classes if one.label == size)
            assert [one.loss.numerator, one.loss.denominator] == rows.loc[id, ["numerator", "denominator"]].tolist()


def test_letters_go_on_after_z() -> None:
    assert ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"] == [letter(number) for number in (0, 25, 26, 51, 52, 701, 702)]


def test_letters_hang_on_the_flock_and_not_on_the_order_of_files() -> None:
    farms = as_numbers(12)
    forth, back = lettered(farms), lettered(farms[::-1])
    assert {one.flock: one.letter for one in forth} == {one.flock: one.letter for one in back}
    assert [letter(number) for number in range(12)] == [one.letter for one in forth]
    renamed = lettered([replace(one, file=f"x-{one.file}", print="", year=2027) for one in farms])
    assert {one.flock: one.letter for one in forth} == {one.flock: one.letter for one in renamed}
    assert [one.flock for one in forth] != sorted(one.flock for one in forth)


def test_a_key_keeps_letters_and_gives_none_twice(tmp_path: Path) -> None:
    first = lettered(as_numbers(6))
    path = tmp_path / "key.xlsx"
    write_key(path, key_of(first), force=False)
    key = read_key(path)
    assert key_of(first) == key
    later = lettered([one for one in as_numbers(9) if one.flock != first[0].flock], key)
    kept = {one.flock: one.letter for one in first}
    assert all(kept[one.flock] == one.letter for one in later if one.flock in kept)
    assert {"G", "H", "I"} == {one.letter for one in later if one.flock not in kept}
    assert first[0].letter in {one.letter for one in key_of(later, key)}


def test_two_farms_without_a_name_are_told_apart_by_their_files() -> None:
    farms = [replace(one, flock="") for one in as_numbers(3)]
    key = (Named("M", "", farms[1].file),)
    assert {"M", "A", "B"} == {one.letter for one in lettered(farms, key)}
    assert "M" == next(one.letter for one in lettered(farms, key) if one.file == farms[1].file)


def test_a_key_that_is_none_is_told(tmp_path: Path) -> None:
    with pytest.raises(Told, match="no key of letters"):
        read_key(FOLDER / CLEAN)
    assert () == read_key(tmp_path / "none.xlsx")


def test_a_flock_stands_once_with_its_latest_season() -> None:
    one, two, three = as_numbers(3)
    last_year = replace(one, file="old.xlsx", year=2025, print="old")
    copy = replace(two, file="copy.xlsx", print="copy", newest="2026-06-19")
    same = replace(three, file="same.xlsx", flock="")
    kept, left = once_each([last_year, copy, one, two, three, same])
    assert [one, two] == kept[:2] and 3 == len(kept)
    assert {"old.xlsx", "copy.xlsx"} < {one.name for one in left} and all(one.asks for one in left)
    why = {one.name: one.why for one in left}
    assert why["old.xlsx"].startswith("season 2025 of the flock whose season 2026 is Farm 0.xlsx")
    assert why["copy.xlsx"].startswith("says the same flock and year as Farm 1.xlsx")
    assert any("the same file as" in words for words in why.values())


@pytest.fixture
def in_one_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files_module, "in_parallel", lambda work, jobs, lost, cores: ((job, work(job)) for job in jobs))


@pytest.fixture(scope="module")
def looked() -> Mapping[str, Farm | Left]:
    """Each kind of file looked at once."""
    return {name: look_at(Job(FOLDER / name)) for name in (CLEAN, HILL_CLEAN, SUMMARY, PAPER)}


def test_what_is_no_season_is_named_with_what_to_do(looked: Mapping[str, Farm | Left], tmp_path: Path) -> None:
    summary = looked[SUMMARY]
    assert isinstance(summary, Left) and "give the season workbook it was made from" in summary.why
    bad = tmp_path / "bad.xlsx"
    bad.write_bytes(b"PK\x03\x04 cut short")
    found = look_at(Job(bad))
    assert isinstance(found, Left) and found.asks and "\n" not in found.why
    missing = look_at(Job(tmp_path / "not there.xlsx"))
    assert isinstance(missing, Left) and missing.asks


def test_demo_farms_as_numbers(looked: Mapping[str, Farm | Left]) -> None:
    clean, hill = looked[CLEAN], looked[HILL_CLEAN]
    assert isinstance(clean, Farm) and isinstance(hill, Farm)
    assert (Recorded.LAMB, Where.INDOORS) == (clean.recorded, clean.where)
    assert (Recorded.MIXED, Where.OUTDOORS) == (hill.recorded, hill.where)
    assert {"total_loss_pct": 15, "reared_pct": 165} == clean.targets
    known = {figure.id: figure for figure in analyse(read(FOLDER / CLEAN)).figures}
    for id, number in clean.numbers.items():
        if id in known:
            assert (known[id].numerator, known[id].denominator) == (number.numerator, number.denominator)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, in_one_process: None) -> Path:
    """A folder of files whose farms are drawn, not read; one is broken and one is something else."""
    drawn = {one.file: one for one in as_numbers(8)}
    found = tmp_path / "Secret folder"
    found.mkdir()
    for name in (*drawn, "broken.xlsx", "a list.csv"):
        (found / name).write_text(name, encoding="utf-8")

    def looks(job: Job) -> Farm | Left:
        name = job.path.name
        other = Left(name, "could not be opened") if "broken" in name else Left(name, "a list", asks=False)
        return drawn.get(name, other)

    monkeypatch.setattr(files_module, "look_at", looks)
    return found


def test_the_command_writes_group_key_and_pages_and_names_what_it_left_out(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "pages").mkdir()
    done = run("compare", folder, "-o", tmp_path / "group.xlsx", "--farm-pages", tmp_path / "pages")
    assert 1 == done.exit_code, done.output
    assert "broken.xlsx: could not be opened" in done.output and "a list.csv: a list" in done.output
    assert "Farms 8, A to H: 8 by lamb, indoors" in done.output
    assert {"group.xlsx", "group-key.xlsx", "pages", "Secret folder"} == {path.name for path in tmp_path.iterdir()}
    assert 8 == len(list((tmp_path / "pages").iterdir()))
    assert all(map(as_written, [tmp_path / "group.xlsx", *(tmp_path / "pages").iterdir()]))
    assert {"A", "H"} < {one.letter for one in read_key(tmp_path / "group-key.xlsx")}
    for path in (tmp_path / "group.xlsx", tmp_path / "group-key.xlsx", next((tmp_path / "pages").iterdir())):
        line = what_it_is(path)
        assert not isinstance(line, Reading) and Kind.COMPARISON is line.kind
    (folder / "broken.xlsx").unlink()
    assert 0 == run("compare", folder, "-o", tmp_path / "again.xlsx").exit_code


def test_nothing_in_what_is_sent_on_names_a_farm(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "pages").mkdir()
    done = compare_files([folder], tmp_path / "g.xlsx", Asked(tmp_path / "k.xlsx", pages=tmp_path / "pages"))
    names = [one.flock for one in done.compared.farms]
    told = texts(tmp_path / "g.xlsx")
    assert not [name for name in (*names, "Secret", "xlsx-", ".csv") if name in told]
    assert all(name in texts(tmp_path / "k.xlsx") for name in names)
    for own in done.compared.farms:
        page = texts(tmp_path / "pages" / f"{own.flock}-compared.xlsx")
        assert own.flock in page and not [name for name in names if name != own.flock and name in page]


def test_a_page_holds_no_other_farms_numbers(folder: Path, tmp_path: Path) -> None:
    """None of the counts of the others, but for those that are the farm's own as well, or part of the words of the method."""
    (tmp_path / "pages").mkdir()
    found = compare_files([folder], tmp_path / "g.xlsx", Asked(tmp_path / "k.xlsx", pages=tmp_path / "pages")).compared
    own, *others = found.farms
    path = tmp_path / "pages" / f"{own.flock}-compared.xlsx"
    values = {round(number.value, 9) for other in others for number in other.numbers.values() if number.value is not None}
    rows = found.figures[found.figures["farm"] == own.letter]
    shared = {round(value, 9) for value in rows[["lower_quartile", "median", "upper_quartile", "value"]].to_numpy().ravel()}
    drawn = {round(100 * limit, 9) for funnel in found.funnels for animals in range(1, 1000) for limit in funnel.at(animals)}
    assert values - shared - drawn
    assert not values & numbers_in(path) - shared - drawn


def test_names_stand_in_the_group_only_when_asked(folder: Path, tmp_path: Path) -> None:
    compare_files([folder], tmp_path / "g.xlsx", Asked(tmp_path / "k.xlsx", names=True))
    assert KEY in load_workbook(tmp_path / "g.xlsx").sheetnames and "Farm 3" in texts(tmp_path / "g.xlsx")


def test_an_earlier_key_keeps_its_letters_and_is_not_written_again(folder: Path, tmp_path: Path) -> None:
    first = compare_files([folder], tmp_path / "g.xlsx", Asked(tmp_path / "k.xlsx"))
    before = (tmp_path / "k.xlsx").read_bytes()
    second = compare_files([folder], tmp_path / "h.xlsx", Asked(tmp_path / "k.xlsx"))
    assert [tmp_path / "h.xlsx"] == list(second.written) and before == (tmp_path / "k.xlsx").read_bytes()
    assert [one.letter for one in first.compared.farms] == [one.letter for one in second.compared.farms]


@pytest.mark.parametrize("target", ["Farm 1.xlsx", "k.xlsx"])
def test_an_output_never_takes_the_place_of_an_input_or_of_the_key(target: str, folder: Path) -> None:
    write_key(folder / "k.xlsx", key_of(lettered(as_numbers(2))), force=False)
    with pytest.raises(Told):
        compare_files([folder], folder / target, Asked(folder / "k.xlsx", force=True))
    assert "Farm 1.xlsx" == (folder / "Farm 1.xlsx").read_text(encoding="utf-8")


def test_nothing_to_compare_is_told_with_why(tmp_path: Path, in_one_process: None) -> None:
    shutil.copy(FOLDER / SUMMARY, tmp_path / "s.xlsx")
    done = run("compare", tmp_path / "s.xlsx", "-o", tmp_path / "g.xlsx")
    assert 2 == done.exit_code and "s.xlsx: a summary" in done.output and "no season workbook" in done.output
    (tmp_path / "empty").mkdir()
    assert 2 == run("compare", tmp_path / "empty").exit_code


def test_a_file_named_by_itself_that_holds_no_season_asks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, in_one_process: None,
) -> None:
    monkeypatch.setattr(files_module, "look_at", lambda job: Left(job.path.name, "paper", asks=False))
    assert [True] == [one.asks for one in read_farms([tmp_path / "p.xlsx"], {"p.xlsx"})[1]]
    assert [False] == [one.asks for one in read_farms([tmp_path / "p.xlsx"])[1]]


def test_every_figure_has_its_numerator_and_denominator_in_the_workbook(folder: Path, tmp_path: Path) -> None:
    found = compare_files([folder], tmp_path / "g.xlsx", Asked(tmp_path / "k.xlsx")).compared
    book = load_workbook(tmp_path / "g.xlsx")
    assert f"'{ALL_FIGURES}'!$A$1:$L$2" == book[ALL_FIGURES].print_area, "a line for each figure of each farm is for the screen"
    shown = {(row[0], row[2]): row[4:6] for row in book[ALL_FIGURES].iter_rows(values_only=True)}
    for own in found.farms:
        for id in ("loss_live_born_pct", "stillbirth_pct", "loss_twins"):
            number = own.numbers[id]
            assert (number.numerator, number.denominator) == shown[MEASURE[id].title, own.letter]
    assert GROUP == book.sheetnames[0]
    assert {QUARTILES, FARMS_IN} < set(book.sheetnames) and "hidden" == book["_points"].sheet_state


def test_side_by_side_holds_each_kind_of_farm_by_itself(tmp_path: Path) -> None:
    """What is compared with nobody wears a star; without a figure there is only what was counted."""
    shares = {LOSS: share(20, 160), "empty_pct": share(3, 90, why="from 3 of 9"), "stillbirth_pct": UNKNOWN}
    ways = {"In": Where.INDOORS, "Also in": Where.INDOORS, "Out": Where.OUTDOORS, "?": Where.NOT_WRITTEN}
    farms = [farm(name, shares, where) for name, where in ways.items()]
    found = compared([replace(one, numbers={**one.numbers, "ewe_deaths_pct": replace(share(1, 9), value=None)}) for one in farms])
    write_group(tmp_path / "g.xlsx", found)
    shown = [row for row in load_workbook(tmp_path / "g.xlsx")[SIDE_BY_SIDE].iter_rows(values_only=True) if any(row)]
    titles = [str(row[0]) for row in shown if str(row[0]).startswith("By ")]
    assert "By lamb, indoors" == titles[0]
    assert {"By lamb, indoors or outdoors not written", "By lamb, outdoors"} == set(titles[1:])
    letter_of = {one.flock: one.letter for one in found.farms}
    cells = {row[0]: row for row in shown}
    assert "12.5 %\n20 of 160" in cells[letter_of["In"]] and "3.3 %*\n3 of 90" in cells[letter_of["In"]]
    assert "1 of 9" in cells[letter_of["In"]] and "12.5 %*\n20 of 160" in cells[letter_of["?"]]


def test_targets_and_last_season_stand_beside() -> None:
    farms = [replace(one, targets={LOSS: 9.0}, last={LOSS: 11.0}) for one in as_numbers(6)]
    found = of(compared(farms))
    assert {9.0} == set(found["target"]) and {11.0} == set(found["last_season"])


IN_PRINT = {
    # Lowland Clun Forest flock 1955 to 1966, over 4,800 lambings: empty 7 and 5 %, litters of 1.55 and 1.75, at two years up.
    "empty_pct": (5.0, 7.0), "litter_born": (1.55, 1.75),
    "ewes_lambed_pct": (90.0, 100.0),  # Oregon State University Extension: good 90 to 95, excellent 96 to 100
    "aborted_pct": (1.0, 5.0),  # a page of veterinary pathology: 1 to 5 % usual
    "stillbirth_pct": (3.3, 4.7),  # Holmoy and Waage 2015: Norway, 2000 and 2010, 6.4 million lambs
    # USDA NAHMS Sheep 2011: of live-born 6.3 % to marking and 4.9 % later; Griffiths and others 2019: 252 of 1,822
    "loss_live_born_pct": (100 * (0.063 + 0.049), 100 * 252 / 1822),
    "ewe_deaths_pct": (4.0, 5.0),  # Hansard, 19 January 1994: about 4 %; USDA NAHMS 2011: 5.0 % of stock on farms with losses
    "reared_pct": (100 * 1.25, 100 * 1.4),  # Teagasc National Farm Survey, second hand: lambs reared per ewe to the ram
}


def test_published_ranges_are_those_of_their_sources() -> None:
    shown = {measure.id: measure.published[:2] for measure in MEASURES if measure.published}
    assert IN_PRINT.keys() == shown.keys()
    for id, (low, high) in IN_PRINT.items():
        assert (round(low, 2), round(high, 1 if high > 3 else 2)) == shown[id], id
    assert [] == [measure.id for measure in MEASURES if measure.published and (len(measure.published[2]) < 20 or measure.instead)]


@pytest.mark.parametrize(("id", "range_", "source"), [
    ("total_loss_pct", "none met", "no source"), ("assisted_pct", "none met", "no source"), ("lambing_pct", "none met", ""),
    ("reared_pct", "125 to 140", "Teagasc"),
])
def test_where_nothing_is_in_print_it_says_so(id: str, range_: str, source: str) -> None:
    assert range_ == published(id)[0]
    assert source in published(id)[1] and bool(source) is bool(published(id)[1])


def test_own_target_last_season_median_and_print_stand_side_by_side(tmp_path: Path) -> None:
    measure = MEASURE["total_loss_pct"]
    farms = [replace(one, numbers={**one.numbers, measure.id: share(20 + number, 100)}, targets={measure.id: 15.0},
                     last={measure.id: 18.0}) for number, one in enumerate(as_numbers(6))]
    write_group(tmp_path / "group.xlsx", compared(farms))
    book = load_workbook(tmp_path / "group.xlsx")
    rows = [row[2:8] for row in book[BESIDE].iter_rows(values_only=True) if measure.title in row]
    assert [(25.0, 15.0, 18.0, 22.5, *published(measure.id))] == [row for row in rows if row[0] == 25]
    for tab in (BESIDE, QUARTILES):
        assert "none was read that counts the same way" in str(book[tab]["A2"].value)


def test_the_words_of_a_funnel_say_how_many_chance_puts_outside() -> None:
    found = group(*[(10, 100)] * 19, (60, 100))
    said = words(found.funnels[0])
    assert "20 farms, 250 of 2,000" in said and "at most about 1 would lie outside" in said
    assert re.search(r"here [A-T] above the 99\.8 % limit", said)


@pytest.mark.parametrize(("errors", "said"), [(0, ""), (1, "; 1 error in its records"), (2, "; 2 errors in its records")])
def test_a_farm_far_outside_whose_records_have_errors_says_so(errors: int, said: str, tmp_path: Path) -> None:
    farms = [replace(one, errors=errors if one.flock == PLANTED else 0) for one in as_numbers(24)]
    write_group(tmp_path / "group.xlsx", compared(farms))
    rows = load_workbook(tmp_path / "group.xlsx")[GROUP].iter_rows(values_only=True)
    told = {row[7] for row in rows if row[1] == MEASURE[LOSS].title}
    assert f"above the 99.8 % limit{said}" in told


def test_a_page_says_among_whom(tmp_path: Path) -> None:
    found = compared(as_numbers(7))
    write_farm_page(tmp_path / "p.xlsx", found, found.farms[2])
    told = {(row[0], str(row[8]).split("among ")[-1]) for row in load_workbook(tmp_path / "p.xlsx").worksheets[0].values}
    assert {(MEASURE["empty_pct"].title, "all farms"), (MEASURE[LOSS].title, "farms by lamb, indoors")} <= told


def test_the_page_opens_on_the_farms_own_and_says_its_letter(tmp_path: Path) -> None:
    found = compared(as_numbers(7))
    write_farm_page(tmp_path / "p.xlsx", found, found.farms[2])
    sheet = load_workbook(tmp_path / "p.xlsx").worksheets[0]
    assert YOUR_FARM == sheet.title and found.farms[2].flock in str(sheet["A1"].value)
    assert "you are farm C" in str(sheet["A2"].value)


@pytest.mark.long
def test_sixty_workbooks_built_filled_in_and_compared(tmp_path: Path) -> None:
    """The planted farm is above the outer limit; of the others no more are outside than chance allows."""
    farms = tmp_path / "farms"
    farms.mkdir()
    for number in range(FARMS):
        write_workbook(farms, number)
    done = compare_files([farms], tmp_path / "group.xlsx", Asked(tmp_path / "key.xlsx")).compared
    assert FARMS == len(done.farms) and not done.left
    letter_of = {one.flock: one.letter for one in done.farms}
    funnel = next(funnel for funnel in done.funnels if funnel.measure.id == LOSS)
    standing = {one.letter: one.where for one in funnel.farms}
    assert "above the 99.8 % limit" == standing.pop(letter_of[PLANTED]).value
    apart = sum(where.value != "inside the limits" for where in standing.values())
    assert stats.binomtest(apart, len(standing), 0.05, alternative="greater").pvalue >= 0.05
    assert sum(where in FAR for where in standing.values()) <= 1
    for path in sorted(farms.iterdir())[:5]:
        result = analyse(read(path))
        own = next(one for one in done.farms if one.file == path.name)
        assert own.numbers == farm_of(result, path.name).numbers
        assert EWES[0] <= own.ewes < EWES[1]




def test_headings_of_a_long_table_are_printed_on_every_page(tmp_path: Path) -> None:
    path = tmp_path / "group.xlsx"
    write_group(path, group(*[(10, 100)] * 9, (18, 100)))
    book = load_workbook(path)
    for tab, table in ((SIDE_BY_SIDE, "side_by_side_1"), (GROUP, "outside")):
        top = re.findall(r"\d+", book[tab].tables[table].ref)[0]
        assert f"${top}:${top}" == book[tab].print_title_rows


@pytest.mark.parametrize("farms", [ON_A_PAGE, ON_A_PAGE + 1, 3 * ON_A_PAGE])
def test_farms_side_by_side_break_only_where_the_paper_ends(farms: int, tmp_path: Path) -> None:
    """A break of our own knows nothing of the headings printed again above each page: a farm would stand alone on the next."""
    write_group(tmp_path / "group.xlsx", group(*[(10, 100)] * farms))
    assert [] == load_workbook(tmp_path / "group.xlsx")[SIDE_BY_SIDE].row_breaks.brk
