"""What outputs are called where nobody says otherwise: beside the input, by its name."""

from pathlib import Path


def beside(path: Path, ending: str) -> Path:
    """`NAME-ending.xlsx` beside a file."""
    return path.with_name(f"{path.stem}-{ending}.xlsx")


def paper_of(season: Path) -> Path:
    """Where what is printed of a season stands: NAME-paper.xlsx beside NAME-season.xlsx."""
    return beside(season.with_stem(season.stem.removesuffix("-season") or season.stem), "paper")
