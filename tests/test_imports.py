"""Imports go one way, so that each part can be read on its own; and the fixed shape of the repository holds.

Levels are told by folders: two folders never import one another, however long the way round, but for a folder and its own
sub-folders. A module that stands loose in a package is a folder of its own.
"""

import ast
import re
from collections.abc import Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGES = ("template_builder", "workbook")
MOST_LOOSE = 5  # modules standing loose in a package: what a stranger opens first
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbook", "template_builder", "tests", "demo_workbooks",
       "PKG-INFO"}  # the last in a source distribution only
# A result that another needs is handed over by the pipeline; rules judge results, so they stand below them.
SIBLINGS = ("workbook.results.litters", "workbook.results.scores")

Sources = Mapping[str, str]  # by module


def _name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _packages() -> set[str]:
    return {_name(path) for package in PACKAGES for path in (ROOT / package).rglob("__init__.py")}


def _sources() -> dict[str, str]:
    paths = (path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))
    return {_name(path): path.read_text(encoding="utf-8") for path in paths}


def imports(source: str, modules: Sources) -> set[str]:
    """The modules a source imports, however deep inside a function."""
    found: set[str] = set()
    for module, names in _imported(source):
        inside = {f"{module}.{name}" for name in names}
        found |= inside & modules.keys() or {module}
    return found & modules.keys()


@cache
def _imported(source: str) -> list[tuple[str, tuple[str, ...]]]:
    """Each module that is imported, with the names taken from it."""
    found: list[tuple[str, tuple[str, ...]]] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [(alias.name, ()) for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.append((node.module, tuple(alias.name for alias in node.names)))
    return found


def folder(module: str, packages: set[str]) -> str:
    """Where a module stands: its package, or itself where it stands loose at the top."""
    own = module if module in packages else module.rpartition(".")[0]
    return module if own in PACKAGES else own


def between_folders(modules: Sources, packages: set[str]) -> dict[str, set[str]]:
    """For each folder the folders it imports from, its own sub-folders and those it stands in left out."""
    found: dict[str, set[str]] = {}
    for module, source in modules.items():
        here = folder(module, packages)
        there = {folder(name, packages) for name in imports(source, modules)}
        found.setdefault(here, set()).update(
            name for name in there if not f"{name}.".startswith(f"{here}.") and not f"{here}.".startswith(f"{name}."))
    return found


def levels(modules: Sources, packages: set[str]) -> list[list[str]]:
    """The folders from what knows nothing of the others to what joins them. CycleError where two import one another."""
    sorter = TopologicalSorter(between_folders(modules, packages))
    sorter.prepare()
    found = []
    while sorter.is_active():
        ready = sorter.get_ready()
        found.append(sorted(ready))
        sorter.done(*ready)
    return found


def test_folders_import_one_way() -> None:
    assert len(levels(_sources(), _packages())) > 5


def test_the_first_package_knows_nothing_of_the_second() -> None:
    modules = _sources()
    assert [] == [name for name, source in modules.items() if name.startswith("template_builder")
                  and any(found.startswith("workbook") for found in imports(source, modules))]


def test_siblings_meet_in_the_pipeline() -> None:
    modules = _sources()
    crossing = [
        (name, found) for name, source in modules.items() for found in imports(source, modules)
        for own in SIBLINGS if name.startswith(own) for other in SIBLINGS if other != own and found.startswith(other)
    ]
    assert [] == crossing


@pytest.mark.parametrize("package", PACKAGES)
def test_few_modules_stand_loose(package: str) -> None:
    loose = [path.name for path in (ROOT / package).glob("*.py") if path.name != "__init__.py"]
    assert len(loose) <= MOST_LOOSE, loose


def test_a_way_round_is_seen() -> None:
    packages = {"workbook", "workbook.a", "workbook.b"}
    modules = {"workbook": "", "workbook.a": "", "workbook.b": "", "workbook.a.one": "from workbook.b import two\n",
               "workbook.b.two": "def f():\n    from workbook.a import one\n"}
    with pytest.raises(CycleError, match="workbook.a"):
        levels(modules, packages)
    assert ["workbook.a"] == levels({**modules, "workbook.b.two": ""}, packages)[1]


def test_the_top_level_holds_what_it_should() -> None:
    seen = {path.name for path in ROOT.iterdir() if not path.name.startswith(".") and not path.name.endswith(".egg-info")}
    assert set() == {name for name in seen if name not in TOP and name not in ("build", "demo")}


def test_every_module_that_the_map_names_beside_a_folder_stands_in_it() -> None:
    """The tables of DEVELOPERS.md, where a path with a folder in it speaks of another place."""
    rows = [line.split("|") for line in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()]
    named = {(row[1].strip().strip("`/"), name) for row in rows if len(row) == 4 and row[1].strip().endswith("/`")
             for name in re.findall(r"`(\w+\.py)`", row[2])}
    standing = {(folder, path.name) for package in PACKAGES for path in (ROOT / package).rglob("*.py")
                for parent in path.relative_to(ROOT / package).parents if (folder := parent.as_posix())}
    assert len(named) > 100
    assert set() == named - standing
