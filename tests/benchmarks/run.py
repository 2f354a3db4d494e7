"""Time the commands against what the same work costs at the least. Prints a Markdown table; seconds of processor time.

    python tests/benchmarks/run.py [--ewes 300 1000 3000 10000] [--times 5] [--work FOLDER]

Every command and every floor is a whole process. They run by turns, so that a busy machine slows all of them alike;
what counts is the ratio of medians within one run, never a number of seconds. Nothing here is run by the test suite.
"""

import argparse
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import linear_regression, median
from typing import NamedTuple

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
KILOBYTES_A_MEGABYTE = 1024
COMPILED = {  # modules are compiled once, as in an installed program, and kept outside the tree
    **{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
    "PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir()) / "lambing-benchmarks"),
}
SLIPS = 400  # problem cells that the marked copy marks

MAKE = """
import sys; sys.path[:0] = sys.argv[1:3]
from pathlib import Path
from benchmarks.flocks import copies_of, scan_list_of, season_of, with_slips
from template_builder.build import Plan, build
folder, ewes, slips = Path(sys.argv[3]), int(sys.argv[4]), int(sys.argv[5])
season = season_of(ewes)
build(folder / "season.xlsx", Plan("Benchmark", season), force=True)
build(folder / "slips.xlsx", Plan("Benchmark", with_slips(season, slips)), force=True)
for name, rows in zip(("day", "night"), copies_of(season)):
    build(folder / f"{name}.xlsx", Plan("Benchmark", rows), force=True)
(folder / "list.csv").write_text(scan_list_of(ewes), encoding="utf-8")
print(len(season["ewes"]))
"""


class Cost(NamedTuple):
    """What one process took: processor and wall seconds, most memory at any time in megabytes."""

    cpu: float
    wall: float
    peak: float


class Target(NamedTuple):
    """A bound of section "Speed": a command may take at most the sum of these multiples of floors."""

    command: str
    bound: Mapping[str, float]

    def __str__(self) -> str:
        return f"{self.command} / (" + " + ".join(f"{times:g} x {floor}" for floor, times in self.bound.items()) + ")"


TARGETS = (
    Target("build", {"xlsxwriter, built": 1.2}),
    Target("check", {"dict of cells": 1}),
    Target("marked copy", {"openpyxl load + save": 0.15}),
    Target("analyse", {"dict of cells": 1, "xlsxwriter, summary": 1.2}),
    Target("merge of two copies", {"dict of cells": 4, "xlsxwriter, season": 1.2}),  # two read, one written
)
HELP = Target("--help", {"import click": 1.5})
STEEPEST = 1.1  # exponent of growth


def commands(work: Path) -> dict[str, list[str]]:
    """Each command and floor by name, on the files of one size."""
    program, floor = [sys.executable, "-m", "workbook"], [sys.executable, str(HERE / "floors.py")]
    season, slips, scan = (str(work / name) for name in ("season.xlsx", "slips.xlsx", "list.csv"))
    built, marked, summary, saved, written, merged, day, night, group = (str(work / f"{name}.xlsx") for name in (
        "built", "marked", "summary", "saved", "written", "merged", "day", "night", "group"))
    return {
        "build": [*program, "build", scan, "-o", built, "--force"],
        "check": [*program, "check", season],
        "check, with slips": [*program, "check", slips],
        "check --marked": [*program, "check", slips, "--marked", marked, "--force"],
        "analyse": [*program, "analyse", season, "-o", summary, "--force"],
        "merge of two copies": [*program, "merge", day, night, "-o", merged, "--force"],
        "compare": [*program, "compare", season, "-o", group, "--force"],
        "dict of cells": [*floor, "dict", season],
        "openpyxl read-only": [*floor, "read-only", season],
        "openpyxl normal": [*floor, "normal", season],
        "openpyxl load + save": [*floor, "save", slips, saved],
        "pandas.read_excel": [*floor, "pandas", season],
        "xlsxwriter, built": [*floor, "xlsxwriter", str(work / "built.cells"), written],
        "xlsxwriter, season": [*floor, "xlsxwriter", str(work / "season.cells"), written],
        "xlsxwriter, summary": [*floor, "xlsxwriter", str(work / "summary.cells"), written],
    }


def measured(command: Sequence[str]) -> Cost:
    """Run a process to its end. Exit code 1 says that something needs a person, which is fine here."""
    started = time.perf_counter()
    process = subprocess.Popen(command, cwd=ROOT, env=COMPILED, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.perf_counter() - started
    process.returncode = os.waitstatus_to_exitcode(status)
    told = process.stderr.read().decode() if process.stderr else ""
    if process.returncode not in (0, 1) or "Traceback" in told:
        raise SystemExit(f"{' '.join(command)} failed:\n{told}")
    return Cost(usage.ru_utime + usage.ru_stime, wall, usage.ru_maxrss / KILOBYTES_A_MEGABYTE)


def by_turns(named: Mapping[str, Sequence[str]], times: int) -> dict[str, Cost]:
    """The median cost of each command of so many rounds."""
    rounds = [{name: measured(command) for name, command in named.items()} for _ in range(times)]
    return {name: Cost(*map(median, zip(*(costs[name] for costs in rounds), strict=True))) for name in named}


def with_marked_copy(costs: Mapping[str, Cost]) -> dict[str, Cost]:
    """The marked copy by itself: what it adds to a check of the same file."""
    marked, checked = costs["check --marked"], costs["check, with slips"]
    return {**costs, "marked copy": Cost(marked.cpu - checked.cpu, marked.wall - checked.wall, marked.peak)}


def of_size(ewes: int, times: int, work: Path) -> tuple[int, dict[str, Cost]]:
    """The number of ewes in fact, and the costs at that size."""
    work.mkdir(parents=True, exist_ok=True)
    arguments = [sys.executable, "-c", MAKE, str(ROOT), str(HERE.parent), str(work), str(ewes), str(SLIPS)]
    made = int(subprocess.run(arguments, check=True, capture_output=True, text=True).stdout)
    named = commands(work)
    for name in ("build", "analyse"):
        measured(named[name])
    for name, files in (("built", ("built", "built-paper")), ("season", ("built",)), ("summary", ("summary",))):
        written = [str(work / f"{file}.xlsx") for file in files]
        measured([sys.executable, str(HERE / "floors.py"), "cells", str(work / f"{name}.cells"), *written])
    return made, with_marked_copy(by_turns(named, times))


def growth(sizes: Sequence[int], values: Sequence[float]) -> float:
    """The exponent of growth: the slope of the straight line through the logarithms."""
    return linear_regression([math.log(size) for size in sizes], [math.log(value) for value in values]).slope


def table(found: Mapping[int, Mapping[str, Cost]]) -> list[str]:
    """Processor seconds at each size, growth from the smallest to the largest, and the peak of memory at the largest."""
    sizes = list(found)
    last = found[sizes[-1]]
    heads = ["", *(f"{size:,} ewes" for size in sizes), "growth", f"wall at {sizes[-1]:,}", f"peak at {sizes[-1]:,}"]
    lines = [heads, ["---"] + ["--:"] * (len(heads) - 1)]
    for name in last:
        seconds = [found[size][name].cpu for size in sizes]
        slope = f"{growth(sizes, seconds):.2f}" if len(sizes) > 1 else ""
        lines.append([name, *(f"{value:.2f}" for value in seconds), slope, f"{last[name].wall:.2f}", f"{last[name].peak:.0f} MB"])
    return [f"| {' | '.join(line)} |" for line in lines]


def ratios(found: Mapping[int, Mapping[str, Cost]]) -> list[str]:
    """Each command against its bound: 1 or less meets it."""
    sizes = list(found)
    lines = [["command / bound", *(f"{size:,} ewes" for size in sizes)], ["---"] + ["--:"] * len(sizes)]
    for target in TARGETS:
        lines.append([str(target), *(f"{over(target, found[size]):.2f}" for size in sizes)])
    return [f"| {' | '.join(line)} |" for line in lines]


def over(target: Target, costs: Mapping[str, Cost]) -> float:
    return costs[target.command].cpu / sum(times * costs[floor].cpu for floor, times in target.bound.items())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--ewes", type=int, nargs="+", default=[300, 1000, 3000, 10_000])
    parser.add_argument("--times", type=int, default=5)
    parser.add_argument("--work", type=Path)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        work = given.work or Path(temporary)
        found = dict(of_size(ewes, given.times, work / str(ewes)) for ewes in sorted(given.ewes))
    short = {"--help": [sys.executable, "-m", "workbook", "--help"], "import click": [sys.executable, "-c", "import click"]}
    starting = by_turns(short, given.times)
    print("\n".join([*table(found), "", *ratios(found), "", f"{HELP}: {over(HELP, starting):.2f}"]))  # noqa: T201


if __name__ == "__main__":
    main()
