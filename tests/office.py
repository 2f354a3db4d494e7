"""LibreOffice for tests: PDFs to look at, and workbooks moved about the way people do it.

Where LibreOffice is missing a test skips with a reason; with CI=true it fails instead, so that nothing is skipped unseen.
"""

import json
import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

import pytest

SYSTEM_PYTHON = Path("/usr/bin/python3")  # the Python that LibreOffice's own bridge is installed for
STEPS = Path(__file__).with_name("office_steps.py")
PATIENCE = 240  # seconds until an office that hangs is given up


def missing(what: str) -> NoReturn:
    reason = f"{what} is not installed, so this was not tried"
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)


def soffice() -> str:
    found = shutil.which("soffice")
    return found or missing("LibreOffice (soffice)")


def pdf(path: Path, folder: Path) -> Path:
    """The workbook as LibreOffice prints it."""
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [soffice(), profile, "--headless", "--convert-to", "pdf", "--outdir", str(folder), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=PATIENCE)
    return folder / f"{path.stem}.pdf"


def pdf_text(path: Path) -> str:
    """The words on all pages of a PDF."""
    tool = shutil.which("pdftotext") or missing("pdftotext (poppler)")
    done = subprocess.run([tool, "-layout", str(path), "-"], check=True, capture_output=True, timeout=PATIENCE)
    return done.stdout.decode("utf-8")


def changed(path: Path, target: Path, steps: Sequence[Sequence[object]]) -> Path:
    """Open a workbook in LibreOffice, take the steps (see office_steps.py), save it as `target`."""
    _taken(path, target, steps)
    return target


def recalculated(path: Path, folder: Path, tabs: Sequence[str]) -> dict[str, dict[str, object]]:
    """What LibreOffice makes of each cell of these tabs once every formula is worked out anew."""
    steps = [["recalculate", tabs[0]], *(["read", tab] for tab in tabs)]
    found: dict[str, dict[str, object]] = {}
    for line in _taken(path, folder / "recalculated.xlsx", steps).splitlines():
        found |= json.loads(line)
    return found


def _taken(path: Path, target: Path, steps: Sequence[Sequence[object]]) -> str:
    """Take the steps; gives what they printed."""
    office = soffice()
    probe = subprocess.run([str(SYSTEM_PYTHON), "-c", "import uno"], capture_output=True, check=False)
    if probe.returncode:
        missing("LibreOffice's Python bridge (python3-uno)")
    order = json.dumps({"office": office, "source": str(path), "target": str(target), "steps": steps})
    done = subprocess.run(
        [str(SYSTEM_PYTHON), str(STEPS)], input=order, capture_output=True, text=True, timeout=PATIENCE, check=False,
    )
    assert "" == done.stderr and 0 == done.returncode, done.stderr
    return done.stdout


def converted(path: Path, folder: Path, ending: str) -> Path:
    """The workbook as LibreOffice saves it in another form: "xlsx", "ods" or "html"."""
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [soffice(), profile, "--headless", "--convert-to", ending, "--outdir", str(folder), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=PATIENCE)
    return folder / f"{path.stem}.{ending}"
