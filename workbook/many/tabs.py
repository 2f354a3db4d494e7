"""The tabs of an index, in their order, and how an index is told from every other workbook."""

from collections.abc import Iterable
from pathlib import Path

FARMS, FIGURES, KINDS, OTHER_FILES = "Farms", "Figures by farm", "Problems by kind", "Other files"
KEPT = "_kept"  # hidden: what an index knows of each file, so that one that has not changed is not read again


def index_title(folder: Path) -> str:
    """What the index of a folder is called; its first tab begins with it."""
    return f"Index of {folder.resolve().name}"


def is_index(tabs: Iterable[str]) -> bool:
    return {FARMS, KEPT} <= set(tabs)
