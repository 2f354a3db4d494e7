"""Each gate that a change has to pass is shown to close: a fault is planted, and the gate names it."""

import importlib.util
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import conftest
import pytest
import test_figures
import test_guide
import test_imports
import test_rules
import test_rules_page
from office import missing

ROOT = Path(__file__).parent.parent
SOUND = '"""A module without a fault."""\n\n\ndef twice(number: int) -> int:\n    return 2 * number\n'
PATIENCE = 240  # seconds

Golden = Callable[[Path, str], None]


def run(tool: str, *arguments: str) -> tuple[int, str]:
    """Run a development tool with the configuration of this repository; exit code and what it printed."""
    if importlib.util.find_spec(tool) is None:
        missing(tool)
    command = [sys.executable, "-m", tool, *arguments]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE, check=False)
    return done.returncode, done.stdout + done.stderr


@pytest.mark.parametrize(("fault", "named"), [
    ("import os\n", "F401"), ("x = 1 #" + "x" * 130 + "\n", "E501"), ("print('left behind')\n", "T201"),
])
def test_ruff_closes(tmp_path: Path, fault: str, named: str) -> None:
    path = tmp_path / "module.py"
    command = ("check", "--no-cache", "--config", str(ROOT / "pyproject.toml"), str(path))
    path.write_text(SOUND, encoding="utf-8")
    assert 0 == run("ruff", *command)[0]
    path.write_text(fault, encoding="utf-8")
    code, said = run("ruff", *command)
    assert 1 == code
    assert named in said


def test_mypy_closes_on_a_fault_and_on_a_missing_type(tmp_path: Path) -> None:
    command = ("--config-file", str(ROOT / "pyproject.toml"), "--cache-dir", str(tmp_path / "cache"))
    sound, faulty = tmp_path / "sound.py", tmp_path / "faulty.py"
    sound.write_text(SOUND, encoding="utf-8")
    faulty.write_text('def once(number):\n    return number\n\n\nhalf: int = "a half"\n', encoding="utf-8")
    assert 0 == run("mypy", *command, str(sound))[0]
    code, said = run("mypy", *command, str(faulty))
    assert 1 == code
    assert "no-untyped-def" in said
    assert "assignment" in said


def test_vulture_closes_on_what_nothing_calls(tmp_path: Path) -> None:
    path, command = tmp_path / "module.py", ("--config", str(ROOT / "pyproject.toml"), str(tmp_path))
    path.write_text(f"{SOUND}\n\nFOUR = twice(2)\nassert FOUR\n", encoding="utf-8")
    assert (0, "") == run("vulture", *command)
    path.write_text(SOUND, encoding="utf-8")
    code, said = run("vulture", *command)
    assert 0 != code
    assert "unused function 'twice'" in said


def test_a_figure_that_no_test_names_is_seen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    path = tmp_path / "figures.py"
    (tmp_path / "weaned.py").write_text("", encoding="utf-8")
    monkeypatch.setattr(test_figures, "DECLARED", tmp_path)
    path.write_text('figure = share("empty_pct", "Empty %", empty, scanned)\n', encoding="utf-8")
    test_figures.test_every_figure_is_named_in_a_test_of_this_file()
    path.write_text('figure = share("full_pct", "Full %", full, scanned)\n', encoding="utf-8")
    with pytest.raises(AssertionError, match="full_pct"):
        test_figures.test_every_figure_is_named_in_a_test_of_this_file()


def test_imports_that_go_the_wrong_way_are_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(test_imports, "ROOT", tmp_path)
    for folder in ("template_builder", "workbook"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "__init__.py").write_text("", encoding="utf-8")
    (tmp_path / "workbook" / "results.py").write_text("", encoding="utf-8")
    module = tmp_path / "template_builder" / "build.py"
    module.write_text(SOUND, encoding="utf-8")
    test_imports.test_the_first_package_knows_nothing_of_the_second()
    module.write_text(f"{SOUND}\n\ndef later() -> None:\n    from workbook import results\n", encoding="utf-8")
    with pytest.raises(AssertionError, match=r"template_builder\.build"):
        test_imports.test_the_first_package_knows_nothing_of_the_second()


def test_a_rule_without_a_case_file_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(test_rules, "FILES", test_rules.FILES[1:])
    with pytest.raises(AssertionError, match=test_rules.RULES[0].id[0]):
        test_rules.test_every_rule_has_one_case_file_and_every_file_a_rule()


def test_a_second_case_file_for_a_rule_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(test_rules, "FILES", [*test_rules.FILES, test_rules.FILES[0]])
    with pytest.raises(AssertionError):
        test_rules.test_every_rule_has_one_case_file_and_every_file_a_rule()


def test_a_rule_without_a_quiet_case_is_seen() -> None:
    file = next(file for file in test_rules.FILES if file.cases)
    loud = replace(file, cases=tuple(case for case in file.cases if case.fires))
    with pytest.raises(AssertionError):
        test_rules.test_every_rule_has_a_case_that_fires_and_a_quiet_one(loud)


@pytest.fixture
def kept_as_it_is(request: pytest.FixtureRequest, golden: Golden) -> Golden:
    """The comparison with a kept text; not where kept texts are being written anew."""
    if request.config.getoption("--refresh-golden"):
        pytest.skip("golden texts are being written anew")
    return golden


def test_a_page_of_sheets_that_is_out_of_date_is_seen(kept_as_it_is: Golden, monkeypatch: pytest.MonkeyPatch) -> None:
    now = test_guide.sheets_page()
    monkeypatch.setattr(test_guide, "sheets_page", lambda: f"{now}one more column\n")
    with pytest.raises(AssertionError, match=r"SHEETS\.md is out of date"):
        test_guide.test_sheets_page_is_current(kept_as_it_is)


def test_a_page_of_rules_that_is_out_of_date_is_seen(kept_as_it_is: Golden, monkeypatch: pytest.MonkeyPatch) -> None:
    now = test_rules_page.page(test_rules_page.examples())
    monkeypatch.setattr(test_rules_page, "page", lambda examples: f"{now}one more rule\n")
    with pytest.raises(AssertionError, match=r"RULES\.md is out of date"):
        test_rules_page.test_shipped_page_is_up_to_date(kept_as_it_is)


@pytest.mark.parametrize(("more", "subset", "seen"), [
    (-0.1, conftest.FAST, False), (0.0, conftest.FAST, False), (0.1, conftest.FAST, True), (0.1, "not slow", False),
])
def test_a_test_that_takes_long_is_seen_in_the_fast_subset(
    more: float, subset: str, seen: bool, monkeypatch: pytest.MonkeyPatch,
) -> None:
    seconds = iter((0.0, conftest.LONGEST + more))
    item: Any = SimpleNamespace(config=SimpleNamespace(option=SimpleNamespace(markexpr=subset)))
    failed = None
    with monkeypatch.context() as patch:  # this test is watched, too
        patch.setattr(conftest, "processor_seconds", lambda: next(seconds))
        watched = conftest.pytest_runtest_call(item)
        next(watched)
        try:
            next(watched, None)
        except pytest.fail.Exception as raised:
            failed = raised
    assert seen is ("mark it `long`" in str(failed))


def test_what_an_outside_validator_judges_is_not_in_the_fast_subset() -> None:
    users = conftest.office_users(ROOT / "tests" / "test_validity.py")
    assert {"test_the_audit_finds_a_planted_fault", "test_the_sdk_finds_a_planted_fault"} <= users
    assert "test_written_workbooks_are_sound" not in users
