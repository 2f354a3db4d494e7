"""A season saved by another program says the same: its problems and every figure, drop-downs apart.

Slow: `pytest -m slow tests/test_writers.py`. A writer that is not installed is skipped with a reason. The JavaScript libraries
are installed from tests/javascript_writers/package.json, which pins them, into a folder for temporary files.
"""

import json
import shutil
import subprocess
import tempfile
import warnings
from collections.abc import Callable, Mapping
from functools import cache
from hashlib import sha256
from pathlib import Path

import openpyxl
import pytest
from office import converted, missing

from demo_workbooks import CLEAN, FOLDER, MESSY
from template_builder.files.opening import open_cells
from workbook.output import report
from workbook.reading.season_file import read
from workbook.results.pipeline import analyse, check

pytestmark = pytest.mark.slow

SCRIPTS = Path(__file__).with_name("javascript_writers")
PATIENCE = 300  # seconds
DROP_DOWNS = "R124"
BARE = "dates stand as bare numbers"

# What a writer takes away, so that the reader may speak of it: nothing else may differ.
KEEPS_NO_DROP_DOWNS = frozenset({"xlsx", "xlsx, dates as dates", "xlsx, number formats"})
KEEPS_NO_DATE_FORMATS = frozenset({"xlsx"})

Write = Callable[[Path, Path], Path]  # a workbook, and a folder for what is made of it


def _run(command: list[str], folder: Path) -> None:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=PATIENCE, check=False)
    assert 0 == done.returncode, done.stderr


def _ssconvert(path: Path, folder: Path) -> Path:
    tool = shutil.which("ssconvert") or missing("ssconvert (Gnumeric)")
    _run([tool, str(path), str(folder / path.name)], folder)
    return folder / path.name


def _openpyxl(path: Path, folder: Path) -> Path:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # it drops print areas of whole columns, and says so
        openpyxl.load_workbook(path).save(folder / path.name)
    return folder / path.name


def _libreoffice(path: Path, folder: Path) -> Path:
    return converted(path, folder, "xlsx")


def _by_way_of_ods(path: Path, folder: Path) -> Path:
    between = folder / "between"
    between.mkdir()
    return converted(converted(path, between, "ods"), folder, "xlsx")


@cache
def _libraries() -> Path:
    """The folder the JavaScript libraries are installed in, one for each list of versions."""
    npm = shutil.which("npm") or missing("npm")
    versions = (SCRIPTS / "package.json").read_bytes()
    folder = Path(tempfile.gettempdir()) / f"lambing-writers-{sha256(versions).hexdigest()[:12]}"
    if not (folder / "node_modules").is_dir():
        with tempfile.TemporaryDirectory(prefix="lambing-writers-", ignore_cleanup_errors=True) as name:
            fresh = Path(name) / "fresh"
            fresh.mkdir()
            (fresh / "package.json").write_bytes(versions)
            order = [npm, "install", "--silent", "--no-audit", "--no-fund", "--no-package-lock"]
            done = subprocess.run(order, cwd=fresh, capture_output=True, timeout=PATIENCE, check=False)
            if done.returncode:
                missing("what npm installs from tests/javascript_writers")
            if not folder.exists():  # another run may have been quicker
                fresh.replace(folder)
    return folder


def _javascript(way: str) -> Write:
    def write(path: Path, folder: Path) -> Path:
        node = shutil.which("node") or missing("node")
        _run([node, str(SCRIPTS / "write.js"), way, str(path), str(folder / path.name)], _libraries())
        return folder / path.name
    return write


WRITERS: Mapping[str, Write] = {
    "LibreOffice": _libreoffice, "LibreOffice, by way of .ods": _by_way_of_ods, "ssconvert": _ssconvert, "openpyxl": _openpyxl,
    **{way: _javascript(way) for way in (
        "exceljs", "xlsx", "xlsx, dates as dates", "xlsx, number formats", "xlsx-populate")},
}


@cache
def _figures(path: Path) -> object:
    return json.loads(report.result_json(analyse(read(path))))


def _problems(path: Path) -> list[str]:
    """Every problem in words, but for those of missing drop-downs."""
    return [str(problem) for problem in check(read(path)).problems if problem.rule.id != DROP_DOWNS]


@pytest.mark.parametrize("name", [CLEAN, MESSY])
@pytest.mark.parametrize("writer", WRITERS)
def test_a_season_saved_by_another_program_says_the_same(writer: str, name: str, tmp_path: Path) -> None:
    source, written = FOLDER / name, WRITERS[writer](FOLDER / name, tmp_path)
    assert source.read_bytes() != written.read_bytes(), "nothing was written anew"
    assert _problems(source) == _problems(written)
    assert _figures(source) == _figures(written)
    reading = check(read(written))
    drop_downs_lost = {problem.place.sheet for problem in reading.problems if problem.rule.id == DROP_DOWNS}
    before = {problem.place.sheet for problem in check(read(source)).problems if problem.rule.id == DROP_DOWNS}
    assert (writer in KEEPS_NO_DROP_DOWNS) == (drop_downs_lost > before)
    assert (writer in KEEPS_NO_DATE_FORMATS) == any(note.startswith(BARE) for note in reading.season.left_alone)
    assert open_cells(source).tabs.keys() == open_cells(written).tabs.keys()
