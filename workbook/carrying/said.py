"""What is told of carrying a season over: one line each, and whether it asks something of a person."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple


class Said(NamedTuple):
    """A line for whoever builds. `asks` where somebody has to look into it."""

    words: str
    asks: bool = False


def named(names: Iterable[str], what: str, *, asks: bool = False) -> list[Said]:
    """One line that names every ewe something is so of: "<what> (3): 0412, 0415, 0420"; none where it is so of none."""
    found = list(names)
    return [Said(f"{what} ({len(found)}): {', '.join(found)}", asks)] if found else []


def text(said: Sequence[Said]) -> str:
    """The lines as printed, what asks something of a person marked so and first."""
    ordered = sorted(said, key=lambda one: not one.asks)
    return "\n".join(f"  {'look: ' if one.asks else ''}{one.words}" for one in ordered)
