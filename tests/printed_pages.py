"""What stands where on the pages of a PDF: words with their places, and to which tab a page belongs."""

import re
import shutil
import subprocess
from collections.abc import Sequence
from html import unescape
from pathlib import Path
from typing import NamedTuple

from office import PATIENCE, missing

FOOTER = 45.0  # points above the lower edge within which the footer stands

_PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.S)
_WORD = re.compile(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>')


class Word(NamedTuple):
    """A word with its edges in points from the upper left corner of the page."""

    left: float
    top: float
    right: float
    bottom: float
    text: str


class PrintedPage(NamedTuple):
    """One page: its size in points, the words of its body and its footer."""

    width: float
    height: float
    words: tuple[Word, ...]
    footer: str

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words)


def pages(path: Path) -> list[PrintedPage]:
    """Every page of a PDF."""
    tool = shutil.which("pdftotext") or missing("pdftotext (poppler)")
    done = subprocess.run([tool, "-bbox", str(path), "-"], check=True, capture_output=True, timeout=PATIENCE)
    return [_page(float(width), float(height), body) for width, height, body in _PAGE.findall(done.stdout.decode("utf-8"))]


def of_tab(printed: Sequence[PrintedPage], tab: str) -> list[PrintedPage]:
    """The pages of one tab, by their footers."""
    return [page for page in printed if f" {tab} Page " in page.footer]


def _page(width: float, height: float, body: str) -> PrintedPage:
    words = [Word(*map(float, edges), unescape(text)) for *edges, text in _WORD.findall(body)]
    footer = " ".join(word.text for word in words if word.top > height - FOOTER)
    return PrintedPage(width, height, tuple(word for word in words if word.top <= height - FOOTER), footer)
