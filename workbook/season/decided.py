"""What was decided at the meeting: the last word on single ewes, and the rules as they were set there."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from template_builder.layout.choices import Verdict
from template_builder.layout.laying import short_key
from workbook.season.cells import CellRef
from workbook.season.matching import fold
from workbook.season.season import Policy


class OwnWord(NamedTuple):
    """What somebody decided about a ewe, whatever the rules recommend, with the reason written beside it."""

    verdict: Verdict
    why: str
    place: CellRef


class NotTaken(NamedTuple):
    """Something written in a summary workbook that could not be taken as it stands, and what to do, in one sentence."""

    place: CellRef
    text: str

    def __str__(self) -> str:
        return f"{self.place.file}:{self.place}: {self.text}"


@dataclass(frozen=True)
class Decided:
    """All that was decided in a summary workbook: `own_words` and `comments` by the key of the ewe, `policy` as set there.

    `kept` are the ewe lambs chosen to be bred from, by tag or as 1042-2.
    """

    file: str
    own_words: Mapping[str, OwnWord]
    comments: Mapping[str, str]
    policy: Policy
    problems: tuple[NotTaken, ...] = ()
    kept: tuple[str, ...] = ()


def row_mark(ewe: str) -> str:
    """The hidden key in the row of a ewe: it stays true while her number and what stands beside it are moved together."""
    return short_key(fold(ewe))
