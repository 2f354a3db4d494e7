"""How long a folder of farms takes to check: `python tests/benchmarks/folder.py 300` for so many farms of some 300 ewes.

A third of them and all of them on all cores, then all on one: seconds by the clock and of the processor, the most memory any one
process took, and how time grows with the number of files. Every file differs from the others, so none is known already.
"""

import os
import resource
import subprocess
import sys
import time
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(Path(__file__).parent.parent), str(ROOT)]

from benchmarks.flocks import season_of  # noqa: E402 - found on the path above

from demo_workbooks.simulation.farm import FLOCK  # noqa: E402
from template_builder.build import Plan, build  # noqa: E402

EWES = 300
STRINGS = "xl/sharedStrings.xml"


def farm(whole: Path, target: Path, name: str) -> None:
    """The same workbook under another flock's name."""
    with zipfile.ZipFile(whole) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as copy:
        for part in source.namelist():
            data = source.read(part)
            copy.writestr(part, data.replace(FLOCK.encode(), name.encode()) if part == STRINGS else data)


def checked(folder: Path, cores: set[int]) -> tuple[float, float]:
    """Seconds by the clock and of the processor that `check FOLDER` takes on these cores."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run([sys.executable, "-m", "workbook", "check", str(folder)], cwd=ROOT, capture_output=True, text=True,
                          preexec_fn=lambda: os.sched_setaffinity(0, cores), check=False)
    assert done.returncode in (0, 1), done.stderr
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    (index,) = folder.glob("*-index.xlsx")
    index.unlink()
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(farms: int) -> None:
    with TemporaryDirectory() as home:
        whole = Path(home) / "whole.xlsx"
        build(whole, Plan("Timing", season_of(EWES)))
        folders = {number: Path(home) / f"farms-{number}" for number in (max(1, farms // 3), farms)}
        for number, folder in folders.items():
            folder.mkdir()
            for one in range(number):
                farm(whole, folder / f"farm-{one}.xlsx", f"Farm {one}")
        every = os.sched_getaffinity(0)
        for number, cores in ((max(1, farms // 3), every), (farms, every), (farms, {min(every)})):
            wall, processor = checked(folders[number], cores)
            most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
            print(f"{number} farms on {len(cores)}: {wall:.1f} s by the clock, {processor:.1f} of the processor, "  # noqa: T201
                  f"{most} MB at the most in one process", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]))
