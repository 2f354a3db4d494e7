"""How long LibreOffice takes to reckon the live sheets after one cell is typed: `python tests/benchmarks/live_typing.py 1000`.

A flock with half its ewes lambed; each time is that of one cell set and all that hangs on it reckoned, with a running clock.
"""

import sys
import time
from datetime import date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path[:0] = [str(Path(__file__).parent.parent), str(Path(__file__).parent.parent.parent)]

from office import taken  # noqa: E402 - found on the path above

from template_builder.build import Plan, build  # noqa: E402
from template_builder.layout.choices import Born, YesNo  # noqa: E402
from template_builder.layout.columns import Row  # noqa: E402
from template_builder.layout.laying import lay_ready  # noqa: E402
from template_builder.live_values import with_values  # noqa: E402

FIRST_DAY = date(2026, 3, 1)
CELLS = {
    "Lambing, lambed on": ["set", "Lambing", "D4", 46090], "Lambing, all well": ["set", "Lambing", "E5", "yes"],
    "Lambing, waters seen": ["set", "Lambing", "Q6", 46090.1], "Lambs, born": ["set", "Lambs", "E4", "alive"],
    "Lambs, belly": ["set", "Lambs", "L5", "hollow"], "Ewes, a new ewe's number": ["set", "Ewes", "A4", "new"],
    "Ewe check, trouble": ["set", "Ewe check", "L4", "mastitis"],
}


def half_lambed(ewes: int) -> dict[str, list[Row]]:
    """Rows of a flock of so many ewes, every other one lambed."""
    laid = lay_ready({"ewe": f"{n:05d}", "scanned": 1 + n % 3, "due": FIRST_DAY + timedelta(days=n % 34)} for n in range(ewes))
    written = {row["ewe"] for row in laid["lambing"][::2]}
    lambed = {"lambed_on": FIRST_DAY + timedelta(days=9), "all_well": YesNo.YES}
    laid["lambing"] = [{**row, **lambed} if row["ewe"] in written else row for row in laid["lambing"]]
    laid["lambs"] = [{**row, "born": Born.ALIVE} if row["ewe"] in written else row for row in laid["lambs"]]
    return laid


def say(words: str) -> None:
    print(words, flush=True)  # noqa: T201 - a script for a person to run


def main(ewes: int) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "season.xlsx"
        start = time.process_time()
        plan = with_values(Plan("Timing", half_lambed(ewes)), datetime(2026, 3, 11, 3, 0))
        valued = time.process_time()
        build(path, plan)
        say(f"{ewes} ewes: values {valued - start:.2f} s, build {time.process_time() - valued:.2f} s (processor time)")
        timed = [["timed", cell, ["calculate"]] for cell in CELLS.values()]
        warm, *seconds, whole = taken(path, [["timed", ["calculate"]], *timed, ["timed", ["recalculate"]]])
        for name, one in zip(CELLS, seconds, strict=True):
            say(f"  {name}: {one:.2f} s")
        say(f"  everything: {whole:.2f} s; on opening: {warm:.2f} s")


if __name__ == "__main__":
    for count in sys.argv[1:] or ["1000"]:
        main(int(count))
