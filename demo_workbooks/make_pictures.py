"""Draw the README's pictures from the demo workbooks. Needs LibreOffice (soffice) and poppler (pdftoppm, pdftotext)."""

import subprocess
import sys
import tempfile
from datetime import datetime
from pathlib import Path

from openpyxl import load_workbook

from demo_workbooks import simulation
from demo_workbooks.simulation.half_way import half_season
from template_builder.build import Plan, build
from template_builder.layout.whole import TONIGHT_TAB
from template_builder.live_values import with_values

HERE = Path(__file__).parent
DOTS_PER_INCH = "80"
PART = {"tonight": ("-W", "364", "-H", "400")}  # of the page, from its corner, in dots
NIGHT = datetime(2026, 3, 24, 3)  # in the middle of lambing
TONIGHT = "tonight.xlsx"

# Picture, workbook, words that stand on the page wanted and on none before it.
PICTURES = (
    ("summary", "season-clean-summary.xlsx", "Which ewes go"),
    ("to-decide", "season-clean-summary.xlsx", "Ewes to decide"),
    ("decisions", "season-clean-summary.xlsx", "Adviser's"),
    ("tonight", TONIGHT, "Tonight"),
    ("lambing", "season-clean.xlsx", "What happened to each ewe at lambing"),
    ("shed", "season-paper.xlsx", "Shed sheets"),
)


def run(*command: str) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def page_with(pdf: Path, words: str) -> int:
    """The first page that holds the words."""
    pages = run("pdftotext", "-layout", str(pdf), "-").split("\f")
    return next(number for number, text in enumerate(pages, start=1) if words in text)


def in_the_middle_of_lambing(path: Path) -> None:
    """The demo's season as it stood in that night."""
    rows = half_season(NIGHT.date())
    rows["season"] = [*rows["season"], {"row_key": "as_of", "value": NIGHT}]
    build(path, with_values(Plan(simulation.TITLE, rows), NIGHT))
    book = load_workbook(path)  # as it stands on the screen: the list alone is printed
    book[TONIGHT_TAB].print_area = None
    book[TONIGHT_TAB].page_setup.fitToHeight = 0
    book.save(path)


def _at(folder: Path, workbook: str) -> Path:
    return folder / workbook if workbook == TONIGHT else HERE / workbook


def main() -> None:
    (HERE / "pictures").mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        in_the_middle_of_lambing(folder / TONIGHT)
        profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
        for picture, workbook, words in PICTURES:
            pdf = folder / workbook.replace(".xlsx", ".pdf")
            if not pdf.exists():
                run("soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", name, str(_at(folder, workbook)))
            page = str(page_with(pdf, words))
            target = HERE / "pictures" / picture
            one_page = ("-r", DOTS_PER_INCH, *PART.get(picture, ()), "-png", "-f", page, "-l", page, "-singlefile")
            run("pdftoppm", *one_page, str(pdf), str(target))
            sys.stdout.write(f"{target}.png: page {page}\n")


if __name__ == "__main__":
    main()
