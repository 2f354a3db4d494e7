"""Keep the clean demo and its records as they are read now, before the layout version is raised.

Run from the top of the repository, with the demo written by this version: `python tests/layouts/keep.py`.
"""

import shutil
import sys
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from layouts.records import records  # noqa: E402 - found by the paths above
from template_builder.layout.whole import LAYOUT_VERSION  # noqa: E402
from workbook.reading.season_file import read  # noqa: E402

if __name__ == "__main__":
    demo, kept = ROOT / "demo_workbooks" / "season-clean.xlsx", HERE / f"v{LAYOUT_VERSION}.xlsx"
    if kept.exists():
        sys.exit(f"{kept.name} is kept already: it must stay as the reader of that layout read it.")
    season = read(demo).season
    if season.layout != LAYOUT_VERSION:
        sys.exit(f"{demo.name} is of layout {season.layout}: run python -m demo_workbooks.make_demos first.")
    shutil.copyfile(demo, kept)
    kept.with_suffix(".txt").write_text(records(season), encoding="utf-8")
