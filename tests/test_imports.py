"""Imports go one way, so that each part can be read on its own; and the fixed shape of the repository holds."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

# From what knows nothing of the others to what joins them. A module imports only from its own level or above.
LEVELS: tuple[tuple[str, ...], ...] = (
    ("template_builder",),
    ("workbook.results.statistics.proportions", "workbook.results.statistics.agreement", "workbook.results.statistics.indicators"),
    ("template_builder.files.refusals", "template_builder.files.guard", "template_builder.files.stored", "template_builder.files.lists"),
    ("workbook.season.cells", "workbook.season.matching"),
    ("workbook.season.families", "workbook.season.date_system"),
    ("workbook.season.season", "workbook.season.row_names"),
    ("workbook.rules.rule", "workbook.reading.parsing", "template_builder.files.opening"),
    ("workbook.reading.problems", "workbook.reading.anchors", "workbook.reading.corrections", "workbook.reading.out_of_sight", "workbook.reading.long_texts",
     "workbook.reading.drop_downs", "workbook.reading.older_layouts", "workbook.reading.season_file", "workbook.rules.answers", "workbook.season.mating"),
    ("workbook.results.litters", "workbook.results.scores", "workbook.results.advice"),
    ("workbook.rules.checks",),
    ("workbook.results.pipeline",),
    ("workbook.starting", "workbook.demo", "workbook.output.report",
     "workbook.output.rules_page", "workbook.output.summary", "workbook.output.marking", "workbook.merging"),
    ("workbook.cli", "workbook.output.terminal"),
    ("workbook.__main__",),
)
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbook", "template_builder", "tests", "demo_workbooks",
       "PKG-INFO"}  # the last in a source distribution only


def _level(module: str) -> int:
    for number, names in enumerate(LEVELS):
        if any(module == name or module.startswith(f"{name}.") for name in names):
            return number
    raise AssertionError(f"{module} has no level: add it to LEVELS")


def _modules() -> list[Path]:
    return [path for package in ("template_builder", "workbook") for path in (ROOT / package).rglob("*.py")]


def _name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _imports(tree: ast.AST) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} if node.module != "workbook" else {f"workbook.{alias.name}" for alias in node.names}
    return {name for name in found if name.split(".")[0] in ("workbook", "template_builder")}


def upward(source: str, module: str) -> list[str]:
    """The imports in a module's source that go against the levels, however deep inside a function they stand."""
    return sorted(name for name in _imports(ast.parse(source)) if _level(name) > _level(module))


@pytest.mark.parametrize("path", _modules(), ids=_name)
def test_imports_go_one_way(path: Path) -> None:
    if _name(path) == "workbook":
        return
    assert [] == upward(path.read_text(encoding="utf-8"), _name(path))


def test_an_import_that_goes_the_wrong_way_is_seen() -> None:
    planted = "def f():\n    from workbook.results.pipeline import analyse\n"
    assert ["workbook.results.pipeline"] == upward(planted, "workbook.rules.rule")
    assert ["workbook.season.cells"] == upward("import workbook.season.cells", "template_builder.build")


def test_siblings_meet_in_the_pipeline() -> None:
    siblings = ("workbook.results.litters", "workbook.results.scores")
    for path in _modules():
        own = next((name for name in siblings if _name(path).startswith(name)), None)
        others = [name for name in _imports(ast.parse(path.read_text(encoding="utf-8"))) if own and name.startswith(siblings)]
        assert [] == [name for name in others if not name.startswith(own or "")], _name(path)


def test_the_top_level_holds_what_it_should() -> None:
    seen = {path.name for path in ROOT.iterdir() if not path.name.startswith(".") and not path.name.endswith(".egg-info")}
    assert set() == {name for name in seen if name not in TOP and name not in ("build", "demo")}
