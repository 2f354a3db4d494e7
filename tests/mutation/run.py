"""Make one small change after another in the code that judges records, and see whether a test notices it.

    python -m mutation.run [--number 300] [--seed 1] [--only PART_OF_A_PATH ...] [--workers 2]   (in tests/)

Every change is made in a copy of the repository in a temporary folder, never in the working tree: in a fork of the program
with all tests loaded where one function alone is changed, else loaded anew. Which tests are tried for it is seen by watching
them once: those that call the changed function, those of the module's own file first, then the fastest, until one fails or
the time is up. Prints the changes that no test noticed: file, line, change. Those in
remaining.txt are known: nothing a person can see depends on them, and the file says why.
"""

import argparse
import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum
from importlib import import_module
from multiprocessing import get_context
from multiprocessing.queues import SimpleQueue
from pathlib import Path

import pytest

from mutation.changes import Change, changes, enums, made_of, users
from mutation.standing import CANNOT, NO_END, PATIENCE, Ended, Job, Standing
from mutation.watching import Chosen, Watcher

ROOT = Path(__file__).parents[2]
PACKAGES = ("workbook", "template_builder")
# What is changed: whatever stands in folders or modules of these names, wherever the packages keep them.
PARTS = ("results", "rules", "season", "live", "merging", "sharing", "reading", "forecast", "alerts")
# Folders and modules that write or draw and decide nothing.
LEFT_ALONE = ("sheets", "paper", "output", "write", "writer", "page", "chart")
# Whole commands and other programs, minutes for each file; the tests beside the module notice sooner.
NOT_TRIED = ("damage", "fuzz", "validity", "gates", "stored", "hostile", "rendered", "office", "printouts", "mutation",
             "imports", "cli", "guard", "marking", "light")
LONGEST = 4.0  # seconds of the processor; a slower test is not tried
ALL_TRIED = 25.0  # seconds of tests for one change
NO_TESTS_RAN = 5
LOADING = "<module>"  # called by the test that loads a module first: what it calls meanwhile says nothing of that test
LIKELIEST = 15  # tests tried before the others are even loaded
# What the tests load beside the packages: loaded once, before each change loads the packages anew.
LOADED_BEFORE = ("click.testing", "openpyxl", "pandas", "xlsxwriter", "hypothesis.strategies")
TOLD_EVERY = 25  # changes
REMAINING = Path(__file__).with_name("remaining.txt")
KEPT = Path(tempfile.gettempdir()) / "lambing-mutation"


class End(Enum):
    """How a change ended."""

    NOTICED = "noticed"
    HANGS = "noticed: no end"
    SURVIVED = "survived"
    NOT_TESTED = "survived: no test calls it"


@dataclass
class Watched:
    """The functions each test calls and its seconds."""

    calls: dict[str, set[tuple[str, str]]]
    seconds: dict[str, float]


def copy_of(root: Path, folder: Path) -> Path:
    """The files of the working tree, as they are, in another folder."""
    command = ["git", "ls-files", "-co", "--exclude-standard"]
    listed = subprocess.run(command, cwd=root, capture_output=True, text=True, check=True)
    for name in listed.stdout.splitlines():
        if (root / name).is_file():
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(root / name, target)
    return folder


def changed_modules(root: Path, only: Sequence[str]) -> list[str]:
    """The modules to change, as paths from the root; `only` are parts of their paths."""
    paths = sorted(path.relative_to(root) for package in PACKAGES for path in (root / package).rglob("*.py"))
    def decides(path: Path) -> bool:
        return not {*LEFT_ALONE} & {*path.parts, *path.stem.split("_")}

    named = [path for path in paths if {*PARTS} & {*path.parts[1:-1], path.stem} and decides(path)]
    return [str(path) for path in named if not only or any(part in str(path) for part in only)]


def all_changes(root: Path, only: Sequence[str]) -> list[Change]:
    lists = enums((root / "template_builder" / _choices(root)).read_text(encoding="utf-8"))
    return [change for path in changed_modules(root, only)
            for change in changes(path, (root / path).read_text(encoding="utf-8"), lists)]


def _choices(root: Path) -> Path:
    return next((root / "template_builder").rglob("choices.py"))


def test_files(root: Path) -> list[str]:
    files = sorted(path.relative_to(root) for path in (root / "tests").rglob("test_*.py"))
    return [str(path) for path in files if not any(word in path.stem.split("_") for word in NOT_TRIED)]


# Choosing tests


class Chooser:
    """Which tests are tried for a change, computed from the calls that were seen."""

    def __init__(self, root: Path, watched: Watched) -> None:
        self.root, self.seconds = root, watched.seconds
        self.callers: dict[tuple[str, str], set[str]] = {}
        for test, calls in watched.calls.items():
            loaded = {path for path, function in calls if function == LOADING}
            for path, function in calls:
                if path not in loaded:
                    self.callers.setdefault((path, function), set()).add(test)
        self.sources = {str(path.relative_to(root)): path.read_text(encoding="utf-8")
                        for package in PACKAGES for path in (root / package).rglob("*.py")}

    def tests(self, change: Change) -> list[str]:
        """Those that call the function around the change, or one that uses the constant changed; best ones first.

        A function that is called while modules are loaded alone counts as the constants that are made of it. Whom such a
        constant reaches is not seen by calls, so all tests of the module's own file are among them.
        """
        found: set[str] = set()
        for function in change.within:
            found = found or self.callers.get((change.path, function), set())
        if not found and (made := change.within[-1].partition(".")[0] if change.within else change.name):
            found = {test for test in self.seconds if self._own(change, test)} | self._reached(made)
        if not found:
            found = {test for (path, _), tests in self.callers.items() if path == change.path for test in tests}
        quick = sorted(found, key=lambda test: self._rank(change, test))
        taken, spent = [], 0.0
        for test in quick:
            spent += self.seconds[test]
            if spent > ALL_TRIED:
                break
            taken.append(test)
        return taken

    def _reached(self, made: str) -> set[str]:
        """The tests that call a function which mentions this constant or one made of it."""
        return {test for name in self._with_those_made_of(made) for path, source in self.sources.items()
                if name in source for function in users(source, name) for test in self.callers.get((path, function), ())}

    def _with_those_made_of(self, name: str) -> set[str]:
        """A constant and every constant made of it, such as the alert that a limit belongs to."""
        names, new = {name}, {name}
        while new:
            new = {made for one in new for source in self.sources.values() if one in source for made in made_of(source, one)}
            new -= names
            names |= new
        return names

    @staticmethod
    def _own(change: Change, test: str) -> bool:
        """Whether the test stands in the file of tests that is about the changed module."""
        return Path(test.partition("::")[0]).stem == f"test_{Path(change.path).stem}"

    def _rank(self, change: Change, test: str) -> tuple[bool, bool, float, str]:
        about, module = Path(test.partition("::")[0]).stem.removeprefix("test_"), Path(change.path).stem
        return not self._own(change, test), not (module in about or about in module), self.seconds[test], test


# Running tests in processes of their own


def _pytest(root: Path, arguments: Sequence[str], *plugins: object) -> int:
    os.chdir(root)
    os.environ["PATH"] = ""  # no other program is started
    sys.path[:0] = [str(root), str(root / "tests")]
    common = ["-q", "-p", "no:cacheprovider", "--hypothesis-profile", "mutation", "--rootdir", str(root)]
    return int(pytest.main([*common, *arguments], plugins=list(plugins)))


def watch(root: Path, workers: int) -> Watched:
    """What every test calls, kept in the temporary folder for each test file until that file changes."""
    files = {file: KEPT / f"{_fingerprint(root / file)}.json" for file in test_files(root)}
    KEPT.mkdir(exist_ok=True)
    if new := [(file, kept) for file, kept in files.items() if not kept.exists()]:
        with tempfile.TemporaryDirectory() as folder:
            copy = copy_of(root, Path(folder))
            # Processes of their own: nothing of the packages may be loaded here, each change loads them anew.
            with get_context("fork").Pool(workers, maxtasksperchild=1) as pool:
                for _ in pool.imap_unordered(_watch, [(copy, *one) for one in new]):
                    pass
    told = {test: one for kept in files.values() for test, one in json.loads(kept.read_text(encoding="utf-8")).items()}
    calls = {test: {(path, line) for path, line in one["calls"]} for test, one in told.items()}
    return Watched(calls, {test: one["seconds"] for test, one in told.items()})


def _fingerprint(path: Path) -> str:
    text = path.read_text(encoding="utf-8")
    for case in sorted((path.parent / "rules").glob("*.md")) if "case_files" in text else ():
        text += case.read_text(encoding="utf-8")
    return hashlib.sha256(text.encode()).hexdigest()[:32]


def _watch(job: tuple[Path, str, Path]) -> None:
    root, file, kept = job
    watcher = Watcher(root, PACKAGES, LONGEST)
    with _silence():
        _pytest(root, [file], watcher)
    seen = {test: {"calls": sorted(calls), "seconds": watcher.seconds[test]} for test, calls in watcher.calls.items()}
    kept.write_text(json.dumps(seen), encoding="utf-8")


@contextmanager
def _silence() -> Iterator[None]:
    kept = [os.dup(stream) for stream in (1, 2)]
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (1, 2):
        os.dup2(nowhere, stream)
    yield
    for stream, before in zip((1, 2), kept, strict=True):
        os.dup2(before, stream)


def try_change(root: Path, change: Change, tests: Sequence[str]) -> End:
    """Whether the tests notice the change, made in a copy and taken back afterwards."""
    if not tests:
        return End.NOT_TESTED
    path = root / change.path
    kept, times = path.read_text(encoding="utf-8"), path.stat()
    path.write_text(change.made_in(kept), encoding="utf-8")
    try:
        return _end_of(root, tests)
    finally:
        path.write_text(kept, encoding="utf-8")
        os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))


def _end_of(root: Path, tests: Sequence[str]) -> End:
    likeliest, others = tests[:LIKELIEST], tests[LIKELIEST:]
    end = _end_of_all(root, likeliest)
    return _end_of_all(root, others) if others and end is End.SURVIVED else end


def _end_of_all(root: Path, tests: Sequence[str]) -> End:
    child = os.fork()
    if child == 0:
        _child(root, tests)
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return End.SURVIVED if os.waitstatus_to_exitcode(status) in (0, NO_TESTS_RAN) else End.NOTICED
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return End.HANGS


def _child(root: Path, tests: Sequence[str]) -> None:
    """Run the tests and end at once, with pytest's code; nothing is printed."""
    os.setsid()
    code = 1
    try:
        files = dict.fromkeys(test.partition("::")[0] for test in tests)
        with _silence():
            code = _pytest(root, ["-x", *files], Chosen(tests))
    finally:
        os._exit(code)


# The whole


_COPY = Path()


def _begin(root: Path, folder: Path) -> None:
    global _COPY
    _COPY = copy_of(root, Path(tempfile.mkdtemp(dir=folder)))
    for name in LOADED_BEFORE:
        import_module(name)
    sys.dont_write_bytecode = True  # a module changed twice within a second would be taken for the one before


def _one(job: Job) -> tuple[int, End, float]:
    number, change, tests = job
    start = time.monotonic()
    end = try_change(_COPY, change, tests)
    return number, end, time.monotonic() - start


def _stand(root: Path, folder: Path, jobs: Sequence[Job], told: "SimpleQueue[Ended | None]") -> None:
    """Try jobs on tests collected once, telling how each ended; None is the end."""
    copy = copy_of(root, Path(tempfile.mkdtemp(dir=folder)))
    sys.dont_write_bytecode = True
    files = sorted({test.partition("::")[0] for _, _, tests in jobs for test in tests})
    with _silence():
        _pytest(copy, [*files, "--basetemp", f"{copy}-tests"], Standing(copy, jobs, told.put))
    told.put(None)


def _standing(jobs: Sequence[Job], root: Path, folder: Path, workers: int) -> Iterator[Ended]:
    context = get_context("fork")
    told: SimpleQueue[Ended | None] = context.SimpleQueue()
    processes = [context.Process(target=_stand, args=(root, folder, jobs[first::workers], told)) for first in range(workers)]
    for process in processes:
        process.start()
    for _ in processes:
        yield from iter(told.get, None)
    for process in processes:
        process.join()


def run(chosen: Sequence[Change], chooser: Chooser, workers: int) -> Iterator[tuple[Change, End, float]]:
    """Every change with how it ended, as they end."""
    jobs = [(number, change, chooser.tests(change)) for number, change in enumerate(chosen)]
    anew = {*range(len(jobs))}
    with tempfile.TemporaryDirectory() as folder:
        for number, code, seconds in _standing([job for job in jobs if job[2]], chooser.root, Path(folder), workers):
            if code != CANNOT:
                anew.remove(number)
                yield chosen[number], End.SURVIVED if code == 0 else End.HANGS if code == NO_END else End.NOTICED, seconds
        with get_context("fork").Pool(workers, _begin, (chooser.root, Path(folder))) as pool:
            for number, end, seconds in pool.imap_unordered(_one, [jobs[number] for number in sorted(anew)]):
                yield chosen[number], end, seconds


def sample(found: Sequence[Change], number: int, seed: int) -> list[Change]:
    """So many of the changes, as if drawn by lot, and nearly the same ones when the code has changed a little."""
    return sorted(found, key=lambda change: hashlib.sha256(f"{seed} {change.known_as}".encode()).digest())[:number]


def known() -> dict[str, str]:
    """The changes that may survive, with why: each a line that names the change and an indented one with the reason."""
    lines = [line for line in REMAINING.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    return dict(zip(lines[::2], (why.strip() for why in lines[1::2]), strict=True))


@dataclass
class Outcome:
    """How every change of a sample ended."""

    ends: dict[Change, End]
    seconds: float

    @property
    def survivors(self) -> list[Change]:
        return sorted(change for change, end in self.ends.items() if end in (End.SURVIVED, End.NOT_TESTED))

    @property
    def words(self) -> str:
        counted = [f"{sum(one is end for one in self.ends.values())} {end.value}" for end in End]
        return f"{len(self.ends)} changes in {self.seconds:.0f} s: {', '.join(counted)}"


def tried(number: int, seed: int, workers: int = 2, only: Sequence[str] = (), without: Sequence[str] = ()) -> Outcome:
    """Try a sample of all changes; survivors are printed as they come."""
    found = [change for change in all_changes(ROOT, only) if not any(part in change.path for part in without)]
    start = time.monotonic()
    chooser, reasons = Chooser(ROOT, watch(ROOT, workers)), known()
    say(f"{len(chooser.seconds)} tests watched in {time.monotonic() - start:.0f} s")
    ends: dict[Change, End] = {}
    for change, end, seconds in run(sample(found, number, seed), chooser, workers):
        ends[change] = end
        if not len(ends) % TOLD_EVERY:
            say(f"... {len(ends)} tried in {time.monotonic() - start:.0f} s")
        if end in (End.SURVIVED, End.NOT_TESTED):
            why = f"\n    known: {reasons[change.known_as]}" if change.known_as in reasons else f"  ({seconds:.0f} s)"
            say(f"{end.value}: {change.words}{why}")
    return Outcome(ends, time.monotonic() - start)


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--number", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--only", nargs="*", default=[], metavar="PART_OF_A_PATH")
    parser.add_argument("--without", nargs="*", default=[], metavar="PART_OF_A_PATH")
    outcome = tried(**vars(parser.parse_args(arguments)))
    say(outcome.words)
    return 1 if any(change.known_as not in known() for change in outcome.survivors) else 0


def say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
