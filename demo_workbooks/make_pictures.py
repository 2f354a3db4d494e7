"""Draw the README's pictures from the demo workbooks. Needs LibreOffice (soffice) and poppler (pdftoppm, pdftotext)."""

import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
DOTS_PER_INCH = "80"

# Picture, workbook, words that stand on the page wanted and on none before it.
PICTURES = (
    ("summary", "season-clean-summary.xlsx", "Which ewes go"),
    ("to-decide", "season-clean-summary.xlsx", "Ewes to decide"),
    ("decisions", "season-clean-summary.xlsx", "Adviser's"),
    ("lambing", "season-clean.xlsx", "What happened to each ewe at lambing"),
    ("shed", "season-paper.xlsx", "Shed sheets"),
)


def run(*command: str) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def page_with(pdf: Path, words: str) -> int:
    """The first page that holds the words."""
    pages = run("pdftotext", "-layout", str(pdf), "-").split("\f")
    return next(number for number, text in enumerate(pages, start=1) if words in text)


def main() -> None:
    (HERE / "pictures").mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
        for picture, workbook, words in PICTURES:
            pdf = folder / workbook.replace(".xlsx", ".pdf")
            if not pdf.exists():
                run("soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", name, str(HERE / workbook))
            page = str(page_with(pdf, words))
            target = HERE / "pictures" / picture
            run("pdftoppm", "-r", DOTS_PER_INCH, "-png", "-f", page, "-l", page, "-singlefile", str(pdf), str(target))
            sys.stdout.write(f"{target}.png: page {page}\n")


if __name__ == "__main__":
    main()
