"""What is known of one file of a folder: small enough to keep for a thousand files, and as text from one index to the next."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from enum import Enum

from template_builder.layout.whole import LAYOUT_VERSION

KEPT_SINCE = f"2.{LAYOUT_VERSION}"  # raised when lines hold something else: those of older indexes are then read anew


class Kind(Enum):
    """What a file is; the value is what the index calls it."""

    SEASON = "season workbook"
    MARKED = "marked copy"
    SUMMARY = "summary"
    PAPER = "paper"
    SCAN_LIST = "scan list"
    INDEX = "index"
    COMPARISON = "comparison of farms"
    KEY = "key of names"
    OTHER = "other"
    UNREADABLE = "unreadable"


@dataclass(frozen=True)
class Counted:
    """A headline figure: its value where it may be told, and what it was counted from."""

    id: str
    unit: str
    value: float | None
    numerator: float | None
    denominator: float | None
    few: bool = False
    so_far: bool = False


@dataclass(frozen=True)
class Line:
    """One file. `words` says what is wrong with one that is no season workbook; it never names the file.

    `errors` and `warnings` are how often each rule found something; `stops` is what keeps decisions from being final;
    `newest` and `as_of` are dates as ISO text. `marked` and `summary` are the copies that belong to it, as seen from its
    folder; `not_written` says why one could not be written.
    """

    kind: Kind
    words: str = ""
    flock: str = ""
    year: int | None = None
    stage: str = ""
    newest: str = ""
    as_of: str = ""
    ewes: int = 0
    errors: Mapping[str, int] | None = None
    warnings: Mapping[str, int] | None = None
    stops: tuple[str, ...] = ()
    figures: tuple[Counted, ...] = ()
    marked: str = ""
    summary: str = ""
    not_written: str = ""

    @property
    def is_season(self) -> bool:
        return self.kind is Kind.SEASON

    def needs_a_person(self, *, strict: bool) -> bool:
        """Whether somebody has to look: errors (if `strict`, warnings), a file not read, a copy not written."""
        slips = self.errors or (strict and self.warnings)
        return self.kind is Kind.UNREADABLE or bool(self.not_written) or bool(slips)

    def as_text(self) -> str:
        """The line as an index keeps it."""
        return json.dumps({**asdict(self), "kind": self.kind.name}, ensure_ascii=False, separators=(",", ":"))


def line_from(text: str) -> Line:
    """A line as an index kept it. ValueError, TypeError or KeyError where somebody has changed it."""
    kept = json.loads(text)
    figures = tuple(Counted(**figure) for figure in kept.pop("figures"))
    line = Line(**{**kept, "kind": Kind[kept["kind"]], "stops": tuple(kept["stops"]), "figures": figures})
    if line.as_text() != text or not _sound(line):
        raise ValueError(text)
    return line


def _sound(line: Line) -> bool:
    """Whether every part of a line is of the kind it should be."""
    words = (line.words, line.flock, line.stage, line.newest, line.as_of, line.marked, line.summary, line.not_written,
             *line.stops)
    counts = [number for slips in (line.errors, line.warnings) for number in (slips or {}).values()]
    numbers = [number for figure in line.figures for number in (figure.value, figure.numerator, figure.denominator)]
    return all(isinstance(word, str) for word in words) and all(
        number is None or isinstance(number, int | float) for number in (line.year, line.ewes, *counts, *numbers))


