"""The walks of DEVELOPERS.md: every function they name is there, and is called in the order they tell."""

import importlib
import re
import sys
from datetime import date
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import pytest
from click.testing import CliRunner

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, Taken
from template_builder.layout.columns import Start
from workbook.cli import main

PAGE = (Path(__file__).parent.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
WALKS = re.search(r"^## Two walks\n(.+?)^## ", PAGE, re.DOTALL | re.MULTILINE)
_NAME = re.compile(r"`((?:workbook|template_builder)\.[\w.]+)`")


def walks() -> list[list[str]]:
    """The names in the numbered lines of each walk, in order."""
    assert WALKS
    lists = re.findall(r"(?:^\d\. .+\n)+", WALKS[1], re.MULTILINE)
    return [_NAME.findall(hops) for hops in lists]


def named(name: str) -> Any:
    """What a dotted name stands for: the longest part of it that is a module, and what is in that."""
    parts = name.split(".")
    for cut in range(len(parts) - 1, 0, -1):
        try:
            found = importlib.import_module(".".join(parts[:cut]))
        except ModuleNotFoundError:
            continue
        for part in parts[cut:]:
            found = getattr(found, part)
        return found
    raise ModuleNotFoundError(name)


def called(arguments: list[str], names: list[str]) -> list[str]:
    """The functions of these names that a command calls, in the order it calls them."""
    code_of = {getattr(named(name), "callback", named(name)).__code__: name for name in names}
    found: list[str] = []

    def note(frame: FrameType, event: str, _: object) -> None:
        code: CodeType = frame.f_code
        if event == "call" and code in code_of:
            found.append(code_of[code])

    sys.setprofile(note)
    try:
        done = CliRunner().invoke(main, arguments)
    finally:
        sys.setprofile(None)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.output
    return found


def test_every_function_that_the_walks_name_is_there() -> None:
    assert WALKS
    names = _NAME.findall(WALKS[1])
    assert 2 == len(walks()) and len(names) > 20
    for name in names:
        assert callable(named(name)), name


def test_a_typed_cell_takes_its_walk_to_the_decision(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Season", {
        "ewes": [{"ewe": "1", "scanned": 1}], "lambing": [{"ewe": "1", "lambed_on": date(2026, 4, 1)}],
        "lambs": [{"ewe": "1", "lamb_no": 1, "born": Born.ALIVE, "taken": Taken.REFUSED}],
    }, Start.INDOORS, ""))
    assert in_order(walks()[0], called(["analyse", str(path)], walks()[0]))


def test_a_scanned_row_takes_its_walk_to_the_shed_sheet(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("Ewe,Scanned\n0412,2\n", encoding="utf-8")
    assert in_order(walks()[1], called(["build", str(path), "--ram-in", "2025-10-20"], walks()[1]))


@pytest.mark.parametrize(("hops", "taken", "so"), [
    ("ab", "xaab", True), ("ab", "ba", False), ("ab", "a", False),
])
def test_a_walk_goes_one_way(hops: str, taken: str, so: bool) -> None:
    assert so is in_order(list(hops), list(taken))


def in_order(hops: list[str], taken: list[str]) -> bool:
    """Whether all hops were taken one after the other, whatever came in between."""
    rest = iter(taken)
    return all(hop in rest for hop in hops)
