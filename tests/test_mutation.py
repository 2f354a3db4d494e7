"""The tests notice when the code that judges records is changed: a sample of small changes, each tried in a copy."""

import signal

import pytest
from mutation.changes import changes, enums, made_of, users
from mutation.run import ROOT, Chooser, Watched, all_changes, known, tried
from mutation.standing import changed_functions
from mutation.watching import Watcher

pytest_plugins = ("pytester",)

NUMBER, SEED, MAY_REMAIN = 300, 1, 0.05

LISTS = enums("class Born(Choice):\n    ALIVE = 1\n    DEAD = 2\n")
MODULE = '''"""A module. 1 < 2"""

MOST = 3
SHARE = 0.8
KINDS = (Born.DEAD,)


class Ewe:
    limit: int = 7

    def late(self, day: int) -> bool:
        if day >= MOST and not self.gone:
            return True
        return any(one is Born.ALIVE for one, _ in zip(self.lambs, self.days, strict=True) if one.named)


NAME = Column("ewe", width=9, style=BODY.with_(bold=True))


def lazily(text: str) -> str:
    return (lambda: f"{text == 1}" if text else "nothing")()
'''


def made(source: str) -> list[tuple[int, str, str, str]]:
    return [(change.line, change.within[0] if change.within else change.name, change.before, change.after)
            for change in changes("module.py", source, LISTS)]


def test_every_kind_of_change_is_made() -> None:
    late = "Ewe.late"
    assert {
        (3, "MOST", "3", "4"), (3, "MOST", "3", "2"), (4, "SHARE", "0.8", "1.2000000000000002"), (4, "SHARE", "0.8", "0.4"),
        (5, "KINDS", "Born.DEAD", "Born.ALIVE"), (9, "Ewe", "7", "8"), (9, "Ewe", "7", "6"),
        (12, late, "day >= MOST", "(day > MOST)"), (12, late, "not self.gone", "(self.gone)"),
        (12, late, "day >= MOST and not self.gone", "(day >= MOST or not self.gone)"),
        (12, late, "day >= MOST and not self.gone", "(day >= MOST)"),
        (12, late, "day >= MOST and not self.gone", "(not self.gone)"),
        (12, late, "day >= MOST and not self.gone", "False"), (13, late, "True", "False"),
        (14, late, "one is Born.ALIVE", "(one is not Born.ALIVE)"), (14, late, "Born.ALIVE", "Born.DEAD"),
        (14, late, "one.named", "True"),
    } == set(made(MODULE))


def test_a_change_stands_in_its_place_and_the_rest_is_as_it_was() -> None:
    source = 'WORD = "größer", 3\nMORE = 4\n'
    assert 'WORD = "größer", 4\nMORE = 4\n' in [change.made_in(source) for change in changes("module.py", source, LISTS)]


def test_the_functions_that_use_a_constant_are_called_as_python_calls_them() -> None:
    assert ["SHARES"] == made_of("SHARE = 0.8\nSHARES = (SHARE, 1)\n", "SHARE")
    assert (["Ewe.late"], ["lazily", "lazily.<locals>.<lambda>"]) == (users(MODULE, "MOST"), users(MODULE, "text"))


@pytest.mark.parametrize(("before", "after", "functions"), [
    ("day >= MOST", "day > MOST", ["Ewe.late"]),
    ("one is Born.ALIVE", "one is Born.DEAD", ["Ewe.late"]),
    ("text == 1", "text == 2", ["lazily"]),
    (" if one.named", "", ["Ewe.late"]),
    ("(self, day: int)", "(\n self, day: int)", []),
    ("MOST = 3", "MOST = 4", None),
    ("limit: int = 7", "limit: int = 8", None),
    ("(self, day: int)", "(self, day: int = 1)", None),
    ("def late", "@property\n    def late", None),
    ("KINDS = (Born.DEAD,)", "KINDS = tuple(one for one in Born)", None),
])
def test_a_change_of_one_function_alone_is_told_from_all_others(before: str, after: str, functions: list[str] | None) -> None:
    there, here = (compile(source, "module.py", "exec") for source in (MODULE, MODULE.replace(before, after)))
    found = changed_functions(there, here)
    assert functions == (None if found is None else [old.co_qualname for old, _ in found])


def test_every_change_that_may_remain_can_be_made_and_has_a_reason() -> None:
    """The list is of several samples; of each at most a twentieth may remain."""
    assert {*known()} <= {change.known_as for change in all_changes(ROOT, ())}
    assert all(known().values())


def test_a_change_outside_every_function_and_constant_has_its_tests_too() -> None:
    outside = [change for change in all_changes(ROOT, ("live",)) if not change.within and not change.name]
    seen = {f"tests/test_{n}.py::test_it": {(change.path, "anything")} for n, change in enumerate(outside)}
    chooser = Chooser(ROOT, Watched(seen, dict.fromkeys(seen, 0.1)))
    assert outside and all(chooser.tests(change) for change in outside)


def test_of_a_constant_the_modules_own_tests_are_tried_first() -> None:
    change = next(change for change in all_changes(ROOT, ("live/cases.py",)) if change.name)
    own, near, others = "tests/test_cases.py::test_slow", "tests/test_more_cases.py::test_it", "tests/test_tonight.py::test_it"
    seen = {own: set(), near: {(change.path, "illness_of")}, others: {(change.path, "illness_of")}}
    made = Chooser(ROOT, Watched(seen, {own: 3.0, near: 0.2, others: 0.1}))
    assert own == made.tests(change)[0]
    inside = next(change for change in all_changes(ROOT, ("live/cases.py",)) if "illness_of" in change.within)
    assert [near, others] == made.tests(inside)


UNEVEN = """
import time
import pytest

def work(seconds):
    end = time.process_time() + seconds
    while time.process_time() < end:
        pass

@pytest.fixture(scope="module")
def built():
    work(0.1)

def test_slow(): work(0.5)
def test_that_stands_on_it(built): pass
def test_quick(): pass
"""


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="no timer of the processor's time here")
def test_a_test_broken_off_ends_neither_the_run_nor_what_its_file_stands_on(pytester: pytest.Pytester) -> None:
    pytester.makepyfile(test_uneven=UNEVEN)
    watcher = Watcher(pytester.path, (), 0.05)
    pytester.inline_run(plugins=[watcher])
    assert ["test_uneven.py::test_that_stands_on_it", "test_uneven.py::test_quick"] == [*watcher.seconds]


@pytest.mark.slow
def test_tests_notice_what_is_changed() -> None:
    outcome = tried(NUMBER, SEED)
    assert [] == [change.words for change in outcome.survivors if change.known_as not in known()]
    assert len(outcome.survivors) <= MAY_REMAIN * NUMBER
