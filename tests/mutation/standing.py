"""The tests collected once: a change of one function is put into the loaded program, and costs no more than its own tests.

A fork of the collected session gets the changed code. This is right only where nothing that was loaded rests on the function:
it was not called while modules and tests were loaded, and no function it had made is left. All else is loaded anew.
"""

import gc
import os
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from cProfile import Profile
from itertools import zip_longest
from pathlib import Path
from types import CodeType, FunctionType

import pytest

from mutation.changes import Change

Job = tuple[int, Change, list[str]]
Ended = tuple[int, int, float]  # number of the job, the exit code of its tests, seconds
NO_END, CANNOT = -1, -2
PATIENCE = 90.0  # seconds until a change that makes the program hang counts as noticed


class Standing:
    """A pytest plugin that tries changes, one after another, on the tests of its session."""

    def __init__(self, root: Path, jobs: Sequence[Job], tell: Callable[[Ended], None]) -> None:
        self._root, self._jobs, self._tell = root, jobs, tell
        self._loading = Profile(subcalls=False, builtins=False)
        self._called: set[tuple[str, str]] = set()

    @pytest.hookimpl(wrapper=True)
    def pytest_collection(self) -> Iterator[None]:
        with self._loading:
            result = yield
        codes = [entry.code for entry in self._loading.getstats() if isinstance(entry.code, CodeType)]
        self._called = {(code.co_filename, code.co_qualname) for code in codes}
        return result

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = {item.nodeid: item for item in session.items}
        for number, change, tests in self._jobs:
            start = time.monotonic()
            chosen = [items[test] for test in tests if test in items]
            swaps = self._swaps(change)
            code = _ended(session, swaps, chosen) if swaps and chosen else CANNOT
            self._tell((number, code, time.monotonic() - start))
        return True

    def _swaps(self, change: Change) -> list[tuple[FunctionType, CodeType]] | None:
        """The loaded functions to change, each with its new code; None where the change has to be loaded anew."""
        path = self._root / change.path
        source = path.read_text(encoding="utf-8")
        before, after = (compile(text, str(path), "exec", dont_inherit=True) for text in (source, change.made_in(source)))
        units = changed_functions(before, after)
        if not units:
            return None
        loaded = [one for one in gc.get_objects() if isinstance(one, FunctionType) and one.__code__.co_filename == str(path)]
        found = []
        for old, new in units:
            if any(file == str(path) and _within(name, old.co_qualname) for file, name in self._called):
                return None
            same = [one for one in loaded if one.__code__ == old]
            made = [one for one in loaded if one.__code__.co_qualname.startswith(f"{old.co_qualname}.<locals>.")]
            if len(same) != 1 or made or old.co_freevars != new.co_freevars:
                return None
            found.append((same[0], new))
        return found


def _within(name: str, function: str) -> bool:
    return name == function or name.startswith(f"{function}.")


def changed_functions(before: CodeType, after: CodeType) -> list[tuple[CodeType, CodeType]] | None:
    """The functions of a module or class that differ, old and new; None where anything else does."""
    if _own(before) != _own(after):
        return None
    found: list[tuple[CodeType, CodeType]] = []
    for old, new in zip_longest(_inner(before), _inner(after)):
        if old is None or new is None or old.co_name != new.co_name:
            return None
        if _all(old) == _all(new):
            continue
        if old.co_flags & _IN_FUNCTION:
            found.append((old, new))
        elif (deeper := changed_functions(old, new)) is not None:
            found += deeper
        else:
            return None
    return found


_IN_FUNCTION = 0x2  # CO_NEWLOCALS: a function, not the body of a class


def _inner(code: CodeType) -> list[CodeType]:
    return [one for one in code.co_consts if isinstance(one, CodeType)]


def _own(code: CodeType) -> tuple[object, ...]:
    """What a code does by itself, wherever it stands."""
    constants = [f"{type(one)} {one!r}" for one in code.co_consts if not isinstance(one, CodeType)]
    return code.co_code, constants, code.co_names, code.co_varnames


def _all(code: CodeType) -> tuple[object, ...]:
    return _own(code), [_all(one) for one in _inner(code)]


def _ended(session: pytest.Session, swaps: Sequence[tuple[FunctionType, CodeType]], items: Sequence[pytest.Item]) -> int:
    """The exit code of the tests in a fork with the changed functions: 0 where all pass, NO_END where they hang."""
    child = os.fork()
    if child == 0:
        _child(session, swaps, items)
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.005)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return NO_END


def _child(session: pytest.Session, swaps: Sequence[tuple[FunctionType, CodeType]], items: Sequence[pytest.Item]) -> None:
    os.setsid()
    code = 1
    try:
        for function, changed in swaps:
            function.__code__ = changed
        code = _run(session, items)
    finally:
        os._exit(code)


def _run(session: pytest.Session, items: Sequence[pytest.Item]) -> int:
    for item, following in zip_longest(items, items[1:]):
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed:
            return 1
    return 0

