"""How long LibreOffice takes to reckon the live sheets after one cell is typed: `python tests/benchmarks/live_typing.py 1000`.

A flock with half its ewes lambed; each time is that of one cell set and all that hangs on it reckoned, with a running clock,
the least of several rounds, and how often it goes into the time of reckoning everything. Opening is compared with the same
workbook with values for formulas.
"""

import re
import sys
import time
import zipfile
from datetime import date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path[:0] = [str(Path(__file__).parent.parent), str(Path(__file__).parent.parent.parent)]

from office import taken  # noqa: E402 - found on the path above

from template_builder.build import Plan, build  # noqa: E402
from template_builder.layout.addresses import letters  # noqa: E402
from template_builder.layout.choices import Born, YesNo  # noqa: E402
from template_builder.layout.columns import Row  # noqa: E402
from template_builder.layout.laying import lay_ready  # noqa: E402
from template_builder.layout.whole import FIRST_ROW, SHEET  # noqa: E402
from template_builder.live_values import with_values  # noqa: E402

FIRST_DAY, NIGHT = date(2026, 3, 1), datetime(2026, 3, 11, 3)
ROUNDS = 3
FORMULA = re.compile(rb"<f\b[^>]*/>|<f\b[^>]*>[^<]*</f>")  # rows below the first of a column say only whose formula is theirs
TYPED = {  # sheet, column, row below the first, what is typed
    "Lambing, lambed on": ("lambing", "lambed_on", 0, 46090), "Lambing, all well": ("lambing", "all_well", 1, "yes"),
    "Lambing, waters seen": ("lambing", "waters_seen", 2, 46090.1), "Lambs, born": ("lambs", "born", 0, "alive"),
    "Lambs, tag": ("lambs", "tag", 1, "7001"), "Ewe check, udder": ("ewe_check", "udder", 0, "hard"),
    "Treatments, animal": ("treatments", "animal", 0, "00001"), "Ewes, a new ewe": ("ewes", "ewe", 0, "new"),
}


def half_lambed(ewes: int) -> dict[str, list[Row]]:
    """Rows of a flock of so many ewes, every other one lambed."""
    laid = lay_ready({"ewe": f"{n:05d}", "scanned": 1 + n % 3, "due": FIRST_DAY + timedelta(days=n % 34)} for n in range(ewes))
    written = {row["ewe"] for row in laid["lambing"][::2]}
    lambed = {"lambed_on": FIRST_DAY + timedelta(days=9), "all_well": YesNo.YES}
    laid["lambing"] = [{**row, **lambed} if row["ewe"] in written else row for row in laid["lambing"]]
    laid["lambs"] = [{**row, "born": Born.ALIVE} if row["ewe"] in written else row for row in laid["lambs"]]
    return laid


def step(sheet: str, column: str, below: int, typed: object) -> list[object]:
    """The step that types a cell."""
    place = [one.id for one in SHEET[sheet].arranged(day_book=False)].index(column) + 1
    return ["set", SHEET[sheet].title, f"{letters(place)}{FIRST_ROW + below}", typed]


def as_values(path: Path, target: Path) -> int:
    """Write the workbook without its formulas, their values left; how many there were."""
    formulas = 0
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as copy:
        for name in source.namelist():
            data, found = FORMULA.subn(b"", source.read(name)) if name.startswith("xl/worksheets/") else (source.read(name), 0)
            formulas += found
            copy.writestr(name, data)
    return formulas


def say(words: str) -> None:
    print(words, flush=True)  # noqa: T201 - a script for a person to run


def main(ewes: int) -> None:
    with TemporaryDirectory() as folder:
        path, plain = Path(folder) / "season.xlsx", Path(folder) / "plain.xlsx"
        start = time.process_time()
        plan = with_values(Plan("Timing", half_lambed(ewes)), NIGHT)
        valued = time.process_time()
        build(path, plan)
        say(f"{ewes} ewes: values {valued - start:.2f} s, build {time.process_time() - valued:.2f} s (processor time)")
        formulas = as_values(path, plain)
        opening, without = (min(taken(one, [["timed_reopen"]] * ROUNDS)) for one in (path, plain))
        say(f"  {formulas} formulas; opens in {opening:.2f} s, with values for them in {without:.2f}: {opening / without:.1f} x")
        rounds = [["timed", step(*typed), ["calculate"]] for typed in TYPED.values()]
        _, *seconds = taken(path, [["timed", ["recalculate"]], *[*rounds, ["timed", ["recalculate"]]] * ROUNDS])
        several = [seconds[at::len(rounds) + 1] for at in range(len(rounds) + 1)]
        everything = min(several[-1])
        say(f"  everything: {everything:.2f} s")
        for name, times in zip(TYPED, several, strict=False):
            say(f"  {name}: {min(times):.2f} s, {min(times) / everything:.2f} of everything")


if __name__ == "__main__":
    for count in sys.argv[1:] or ["1000"]:
        main(int(count))
