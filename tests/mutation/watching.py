"""A pytest plugin in two modes: watch which functions each test calls, or run chosen tests in a given order."""

import signal
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from cProfile import Profile
from pathlib import Path
from types import CodeType

import pytest
from hypothesis import HealthCheck, Phase, settings

Called = set[tuple[str, str]]  # path from the root, the function as Python calls it
PREPARING = 4  # times as long as a test itself may take

# A failing example is enough: no time for a smaller one, and the same examples in every run.
settings.register_profile("mutation", database=None, derandomize=True, deadline=None,
                          phases=(Phase.explicit, Phase.generate), suppress_health_check=list(HealthCheck))


@contextmanager
def _broken_off_after(seconds: float) -> Iterator[None]:
    """Fail a test after so many seconds of the processor. Inside a hook of one test: elsewhere it would end the whole run."""
    signal.signal(signal.SIGVTALRM, _too_long)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def _too_long(number: int, frame: object) -> None:
    pytest.fail("too slow to be tried for every change")


class Watcher:
    """For each test that passes: the functions of the packages it calls, and the seconds of the processor it takes.

    A test that takes longer than `patience` is broken off: it is too slow to be tried for every change. What it stands on may
    take `PREPARING` times as long, since one test prepares it for all of a file.
    """

    def __init__(self, root: Path, packages: Sequence[str], patience: float) -> None:
        self.calls: dict[str, Called] = {}
        self.seconds: dict[str, float] = {}
        self._root, self._inside = f"{root}/", tuple(f"{root}/{package}/" for package in packages)
        self._failed: set[str] = set()
        self._patience = patience

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        profile = Profile(subcalls=False, builtins=False)
        start = time.process_time()
        with profile:
            result = yield
        self.seconds[item.nodeid] = time.process_time() - start
        called = [entry.code for entry in profile.getstats() if isinstance(entry.code, CodeType)]
        self.calls[item.nodeid] = {(code.co_filename.removeprefix(self._root), code.co_qualname)
                                   for code in called if code.co_filename.startswith(self._inside)}
        return result

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_setup(self) -> Iterator[None]:
        with _broken_off_after(PREPARING * self._patience):
            return (yield)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self) -> Iterator[None]:
        with _broken_off_after(self._patience):
            return (yield)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.outcome != "passed":
            self._failed.add(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        for test in self._failed & self.calls.keys():
            del self.calls[test], self.seconds[test]


class Chosen:
    """Only these tests, in this order. Where a change took all of their names away, those of their files as they are."""

    def __init__(self, tests: Sequence[str]) -> None:
        self._order = {test: number for number, test in enumerate(tests)}

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        chosen = [item for item in items if item.nodeid in self._order]
        if chosen:
            items[:] = sorted(chosen, key=lambda item: self._order[item.nodeid])
