"""LibreOffice for tests: PDFs to look at, and workbooks moved about the way people do it.

Where LibreOffice is missing a test skips with a reason; with CI=true it fails instead, so that nothing is skipped unseen.
"""

import json
import os
import shutil
import signal
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

import pytest

SYSTEM_PYTHON = Path("/usr/bin/python3")  # the Python that LibreOffice's own bridge is installed for
STEPS = Path(__file__).with_name("office_steps.py")
STARTS = 2  # several offices starting at once now and then lose one
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
    taken(path, steps, target)
    return target


def recalculated(path: Path, folder: Path, tabs: Sequence[str]) -> dict[str, dict[str, object]]:
    """What LibreOffice makes of each cell of these tabs once every formula is worked out anew."""
    found = taken(path, [["recalculate"], *(["contents", tab] for tab in tabs)], folder / "recalculated.xlsx")
    return dict(zip(tabs, found, strict=True))


def taken(path: Path, steps: Sequence[Sequence[object]], target: Path | None = None) -> list[Any]:
    """Open a workbook in LibreOffice, take the steps (see office_steps.py), and give what its reading steps read."""
    return all_changed([(path, target, steps)])


def all_changed(jobs: Sequence[tuple[Path, Path | None, Sequence[Sequence[object]]]]) -> list[Any]:
    """Several workbooks in one start of LibreOffice: source, target and steps of each. A target's ending says its form."""
    office = soffice()
    probe = subprocess.run([str(SYSTEM_PYTHON), "-c", "import uno"], capture_output=True, check=False)
    if probe.returncode:
        missing("LibreOffice's Python bridge (python3-uno)")
    told = [{"source": str(source), "target": str(target) if target else "", "steps": steps} for source, target, steps in jobs]
    order = json.dumps({"office": office, "jobs": told})
    for _ in range(STARTS):
        code, printed, told_wrong = _stepped(order)
        if code == 0:
            break
    assert "" == told_wrong and 0 == code, told_wrong
    found: list[Any] = json.loads(printed)
    return found


def _stepped(order: str) -> tuple[int, str, str]:
    """Take the steps in a session of their own, so that an office that hangs ends with them and holds no file any more."""
    steps = subprocess.Popen(
        [str(SYSTEM_PYTHON), str(STEPS)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        start_new_session=True)
    try:
        printed, wrong = steps.communicate(order, timeout=PATIENCE)
    except subprocess.TimeoutExpired:
        os.killpg(steps.pid, signal.SIGKILL)
        steps.communicate()
        raise
    return steps.returncode, printed, wrong


def converted(path: Path, folder: Path, ending: str) -> Path:
    """The workbook as LibreOffice saves it in another form: "xlsx", "ods" or "html"."""
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [soffice(), profile, "--headless", "--convert-to", ending, "--outdir", str(folder), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=PATIENCE)
    return folder / f"{path.stem}.{ending}"
