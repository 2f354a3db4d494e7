"""Which value of a list a written word means: its label or another word for it, however it is spaced and hyphenated."""

import re
from collections.abc import Mapping
from functools import cache

from template_builder.layout.choices import Choice

_BETWEEN = re.compile(r"(?<=\w)[\s.,'\u2019\u2010\u2011\u2013-]+")  # what may stand within a word, or after it, and says nothing


def folded(word: str) -> str:
    """A word as it is compared: small letters, and nothing between its letters, so that "Still-born." is "stillborn".

    A question mark, a slash or a sign before the first letter stays: "dead?" is a question, "f/m" two sexes.
    """
    return _BETWEEN.sub("", word.strip()).casefold()


def meant(choices: type[Choice], word: str) -> tuple[Choice, ...]:
    """The values a written word may mean: one, or several where a person must say which, or none."""
    return _meanings(choices).get(folded(word), ())


@cache
def _meanings(choices: type[Choice]) -> Mapping[str, tuple[Choice, ...]]:
    found: dict[str, tuple[Choice, ...]] = {}
    for choice in choices:
        for word in (choice.label, *choice.spellings, *choice.doubtful):
            found[folded(word)] = (*found.get(folded(word), ()), choice)
    return found
