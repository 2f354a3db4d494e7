"""`import lambing_workbook`: what stands there works with str and Path, says what is wrong, and gives all records as frames."""

import inspect
import re
from datetime import date
from pathlib import Path

import lambing_workbook as lw
import openpyxl
import pandas as pd
import pytest

from demo_workbooks import CLEAN, EMPTY, FOLDER, HILL_CLEAN, SCAN_LIST
from template_builder.build import Plan, build
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module", params=[CLEAN, HILL_CLEAN])
def result(request: pytest.FixtureRequest) -> lw.Result:
    return lw.analyse(FOLDER / request.param)


def test_a_path_may_be_a_string() -> None:
    assert len(lw.check(str(FOLDER / CLEAN)).problems) == len(lw.check(lw.read(FOLDER / CLEAN)).problems)


def test_every_ewe_lamb_and_weighing_has_one_row_that_says_where_it_stands(result: lw.Result) -> None:
    found, season = lw.frames(result), result.season
    assert len(season.flock.ewes) == len(found["ewes"]) == found["ewes"]["ewe"].nunique()
    assert len(season.flock.lambs) == len(found["lambs"]) == found["lambs"]["lamb"].nunique()
    assert len(season.rows("weights")) == len(found["weights"])
    for name in ("ewes", "lambs", "weights", "problems"):
        assert ["_sheet", "_row"] == list(found[name].columns[-2:])
    ewes = found["ewes"].dropna(subset="_row")
    assert {"Ewes"} == set(ewes["_sheet"]) and ewes["_row"].is_unique


def test_figures_can_be_worked_out_again_from_the_frames(result: lw.Result) -> None:
    """Scanning %, litter size and stillbirths with pandas alone equal the figures of the result."""
    found = lw.frames(result)
    figures = found["figures"].set_index("id")
    scanned = found["ewes"]["scanned"].dropna()
    by_ewe = result.season.rows("ewes")
    assert len([row for row in by_ewe if row.whole("scanned") is not None]) == len(scanned)
    dead = found["lambs"]["born"].isin(["dead, fresh", "dead, decayed"]).sum()
    assert figures.loc["stillbirth_pct", "numerator"] == dead
    decided = found["ewes"]["decision"].value_counts()
    assert decided.sum() == len(result.decisions)


def test_columns_have_one_type_whatever_stands_in_them() -> None:
    for name in (EMPTY, CLEAN):
        found = lw.frames(lw.analyse(FOLDER / name))
        assert pd.Int64Dtype() == found["ewes"]["scanned"].dtype and pd.Float64Dtype() == found["weights"]["kg"].dtype
        assert "datetime64[ns]" == str(found["ewes"]["due"].dtype) and pd.Int64Dtype() == found["lambs"]["_row"].dtype


def test_a_check_has_frames_without_figures() -> None:
    assert {"ewes", "lambs", "weights", "problems"} == lw.frames(lw.check(FOLDER / CLEAN)).keys()


def test_what_cannot_be_done_is_said_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(lw.Refused, match="nowhere.xlsx"):
        lw.read(tmp_path / "nowhere.xlsx")
    with pytest.raises(lw.Refused, match="two copies"):
        lw.merge([FOLDER / CLEAN], tmp_path / "merged.xlsx")
    for given, said in ((dict[str, str](), "scan list"), ({"decisions": "a.xlsx"}, "previous"), ({"key": "k.xlsx"}, "previous")):
        with pytest.raises(ValueError, match=said):
            lw.build(None if not given else FOLDER / SCAN_LIST, tmp_path / "season.xlsx", **given)  # type: ignore[arg-type]
    for word in ("weights", "dates", "order", "start"):
        with pytest.raises(ValueError, match="stone"):
            lw.build(FOLDER / SCAN_LIST, tmp_path / "season.xlsx", **{word: "stone"})  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="ewe-numbers"):
        lw.share(FOLDER / CLEAN, tmp_path / "copy.xlsx", keep=["stone"])
    assert [] == list(tmp_path.iterdir())


def test_a_workbook_somebody_has_saved_is_never_replaced(tmp_path: Path) -> None:
    own = tmp_path / "season.xlsx"
    book = openpyxl.Workbook()
    book.save(own)
    before = own.read_bytes()
    with pytest.raises(lw.Refused, match="season.xlsx"):
        lw.summary(lw.analyse(FOLDER / CLEAN), own, force=True)
    assert before == own.read_bytes()


def test_a_season_is_built_filled_by_nobody_and_merged(tmp_path: Path) -> None:
    season, paper = lw.build(FOLDER / SCAN_LIST, tmp_path / "flock-season.xlsx", ram_in=date(2025, 10, 20), year=2026)
    assert (True, tmp_path / "flock-paper.xlsx") == (paper.exists(), paper)
    done = lw.merge([str(season), str(season)], str(tmp_path / "merged.xlsx"))
    assert () == done.conflicts
    assert len(lw.read(season).season.flock.ewes) == len(lw.read(tmp_path / "merged.xlsx").season.flock.ewes)


@pytest.fixture
def flock(tmp_path: Path, few_spare_rows: None) -> Path:
    """A season of two ewes in a folder of its own."""
    rows = lay_ready([{"ewe": "0412", "scanned": 2}, {"ewe": "0415", "scanned": 1}])
    names: list[Row] = [{"row_key": "flock", "value": "Quillfeather"}, {"row_key": "year", "value": 2026}]
    build(tmp_path / "flock.xlsx", Plan("Season", {**rows, "season": names}))
    return tmp_path / "flock.xlsx"


def test_a_shared_copy_comes_back_to_its_own_ewes(flock: Path, tmp_path: Path) -> None:
    shared = lw.share(str(flock), str(tmp_path / "copy.xlsx"), email=tmp_path / "to.eml")
    assert {"flock.xlsx", "flock-key.xlsx", "copy.xlsx", "to.eml"} == {path.name for path in tmp_path.iterdir()}
    assert {("ewe", "E001", "0412"), ("ewe", "E002", "0415")} <= set(shared.key.names)
    assert ["E001", "E002"] == [row["ewe"] for row in shared.rows["ewes"]]
    copy = openpyxl.load_workbook(tmp_path / "copy.xlsx")
    heads = {cell.value: cell.column for cell in copy["Lambing"][3]}
    copy["Lambing"].cell(4, heads["Notes"]).value = "look at E001"
    copy.save(tmp_path / "back.xlsx")
    with pytest.raises(lw.Refused, match="key"):
        lw.merge([flock, tmp_path / "back.xlsx"], tmp_path / "merged.xlsx")
    key = str(tmp_path / "flock-key.xlsx")
    done = lw.merge([flock, tmp_path / "back.xlsx"], tmp_path / "merged.xlsx", base=tmp_path / "copy.xlsx", key=key)
    assert () == done.conflicts
    notes = {row["ewe"]: row["notes"] for row in lw.read(tmp_path / "merged.xlsx").season.rows("lambing")}
    assert "look at 0412" == notes["0412"]


def test_what_is_kept_is_asked_for_by_word_or_value(flock: Path, tmp_path: Path) -> None:
    for keep in ("ewe-numbers", lw.Keep.EWE_NUMBERS):
        shared = lw.share(flock, tmp_path / "copy.xlsx", keep=[keep], force=True)
        assert ["0412", "0415"] == [row["ewe"] for row in shared.rows["ewes"]]


def test_decisions_made_from_a_shared_copy_are_built_with_its_key(flock: Path, tmp_path: Path) -> None:
    lw.share(flock, tmp_path / "copy.xlsx")
    summary = lw.summary(lw.analyse(tmp_path / "copy.xlsx"), tmp_path / "summary.xlsx")
    with pytest.raises(lw.Refused, match="key"):
        lw.build(None, tmp_path / "next.xlsx", previous=flock, decisions=summary)
    season, _ = lw.build(None, tmp_path / "next.xlsx", previous=flock, decisions=summary, key=tmp_path / "flock-key.xlsx")
    assert ["0412", "0415"] == [row["ewe"] for row in lw.read(season).season.rows("ewes")]


def test_everything_public_is_typed_and_documented() -> None:
    for name in lw.__all__:
        thing = getattr(lw, name)
        assert inspect.getdoc(thing), name
        if inspect.isfunction(thing):
            hints = inspect.signature(thing)
            assert hints.return_annotation is not inspect.Signature.empty
            assert all(one.annotation is not inspect.Parameter.empty for one in hints.parameters.values()), name
    assert (Path(lw.__file__).parent / "py.typed").exists() and lw.__version__


def test_the_lines_of_the_readme_work_as_written(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    (lines,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    monkeypatch.chdir(FOLDER)
    exec(compile(lines.replace("demo/", ""), "README.md", "exec"), {})
    assert "keep" in capsys.readouterr().out


def test_farms_are_compared_with_and_without_a_group_workbook(tmp_path: Path) -> None:
    names = [str(FOLDER / CLEAN), FOLDER / HILL_CLEAN]
    found = lw.compare(names)
    assert {"A", "B"} == set(found.figures["farm"]) and [] == list(tmp_path.iterdir())
    known = {figure.id: figure for figure in lw.analyse(FOLDER / CLEAN).figures}
    own = next(farm.letter for farm in found.farms if CLEAN == farm.file)
    row = found.figures[found.figures["farm"] == own].set_index("figure").loc["empty_pct"]
    assert (known["empty_pct"].numerator, known["empty_pct"].denominator) == (row["numerator"], row["denominator"])
    written = lw.compare(names, tmp_path / "group.xlsx")
    assert {"group.xlsx", "group-key.xlsx"} == {path.name for path in tmp_path.iterdir()}
    pd.testing.assert_frame_equal(found.figures, written.figures)
    with pytest.raises(lw.Refused, match="no season workbook to compare"):
        lw.compare(FOLDER / SCAN_LIST)
