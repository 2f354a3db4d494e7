"""How far long work has come: whoever waits passes a function that is told, a few words at each step."""

from collections.abc import Callable

Tell = Callable[[str], None]


def silent(_words: str) -> None:
    """Nobody waits for word."""
