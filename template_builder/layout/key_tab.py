"""The tab of a key of names, and how one is told from every other workbook."""

from collections.abc import Iterable

NAMES = "Key of names"


def is_key_of_names(tabs: Iterable[str]) -> bool:
    """Whether a workbook with these tabs is the key that share writes beside a copy without identities."""
    return set(tabs) == {NAMES}
