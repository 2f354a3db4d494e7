"""Commands import only what they need, so that they start at once: each is run in a process of its own."""

import subprocess
import sys
from pathlib import Path

import pytest

CLEAN = Path(__file__).parent.parent / "demo_workbooks" / "season-clean.xlsx"
HEAVY = ("numpy", "openpyxl", "pandas", "xlsxwriter")

RUN = """
import sys
from workbook.cli import main
try:
    main(sys.argv[2:])
except SystemExit as end:
    assert end.code in (0, 1), end.code
print("loaded:", *sorted(set(sys.argv[1].split()) & set(sys.modules)))
"""


@pytest.mark.parametrize(
    ("arguments", "needed"),
    [
        (["--help"], ()),
        (["check", str(CLEAN)], ()),
        (["explain", "C101"], ()),
        (["analyse", str(CLEAN), "-o", "summary.xlsx"], ("xlsxwriter",)),
        (["check", str(CLEAN), "--marked", "marked.xlsx"], ("xlsxwriter",)),
    ],
)
def test_only_what_a_command_needs_is_imported(arguments: list[str], needed: tuple[str, ...], tmp_path: Path) -> None:
    root = str(Path(__file__).parent.parent)
    command = [sys.executable, "-c", f"import sys; sys.path.insert(0, {root!r}){RUN}", " ".join(HEAVY), *arguments]
    told = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True).stdout
    assert " ".join(["loaded:", *needed]) == told.splitlines()[-1]
