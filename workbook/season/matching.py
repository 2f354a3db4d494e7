"""Which ewe or lamb a written number means. Matching never guesses: two that fit are none."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum

from workbook.season.cells import Record

_LAMB_NAME = re.compile(r"(.+?)\s*[-/]\s*(\d)")
_SPACE = re.compile(r"\s+")
_TAG_FILLING = re.compile(r"[\s\-]+")
# Letters printed on an official tag, and the number of the country that a reader shows for them (ISO 3166-1).
_COUNTRIES = {"uk": "826", "gb": "826", "ie": "372"}
_LETTERED_TAG = re.compile(rf"({'|'.join(_COUNTRIES)})(\d{{11,12}})")
_NATIONAL_DIGITS = 12  # the number within the country, leading zeros included (ISO 11784)
_FULL_DIGITS = 3 + _NATIONAL_DIGITS
_QUOTES = str.maketrans("\u2018\u2019\u201c\u201d", "''\"\"")


def fold(text: str) -> str:
    """A number for matching: spaces (also non-breaking) at the ends dropped, runs of them made one, case and quotes folded."""
    plain = text if text.isascii() else text.translate(_QUOTES)
    return _SPACE.sub(" ", plain).strip().casefold()


def fold_tag(text: str) -> str:
    """A tag for matching: spaces and hyphens taken out, and an official number always as a reader shows it.

    UK 0 123456 00045, UK 123456 00045, 0826012345600045 and 826012345600045 are one tag.
    """
    bare = _TAG_FILLING.sub("", text).casefold()
    if lettered := _LETTERED_TAG.fullmatch(bare):
        return _COUNTRIES[lettered[1]] + lettered[2].zfill(_NATIONAL_DIGITS)
    return bare.removeprefix("0") if len(bare) == _FULL_DIGITS + 1 and bare.isdigit() else bare


class How(Enum):
    """How a written number was matched."""

    SAME = "same"
    ALIAS = "by another number"
    ZEROS = "but for leading zeros"
    TWO_FIT = "two fit"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Match:
    """`key` names the ewe; for an unknown number, or where two fit, it is the folded number itself."""

    key: str
    how: How

    @property
    def found(self) -> bool:
        return self.how not in (How.TWO_FIT, How.UNKNOWN)


@dataclass(frozen=True, eq=False)
class EweNames:
    """Every name a ewe of the Ewes sheet answers to."""

    names: frozenset[str]
    aliases: Mapping[str, frozenset[str]]
    without_zeros: Mapping[str, frozenset[str]]
    _seen: dict[str, Match] = field(default_factory=dict)

    @classmethod
    def of(cls, ewes: Iterable[Record]) -> "EweNames":
        names: set[str] = set()
        aliases: dict[str, set[str]] = {}
        zeros: dict[str, set[str]] = {}
        for record in ewes:
            name = record.text("ewe")
            if name is None:
                continue
            key = fold(name)
            names.add(key)
            zeros.setdefault(_bare(key), set()).add(key)
            for column in ("official_tag", "also_known_as"):
                if other := record.text(column):
                    aliases.setdefault(fold_tag(other), set()).add(key)
        return cls(frozenset(names), _frozen(aliases), _frozen(zeros))

    def fitting(self, written: str) -> tuple[str, ...]:
        """The keys of all ewes that a written number may mean, in order."""
        key = fold(written)
        if key in self.names:
            return (key,)
        fits = self.aliases.get(fold_tag(key)) or self.without_zeros.get(_bare(key))
        return tuple(sorted(fits or ()))

    def match(self, written: str) -> Match:
        """The ewe meant by a written number."""
        if written not in self._seen:
            self._seen[written] = self._match(fold(written))
        return self._seen[written]

    def _match(self, key: str) -> Match:
        if key in self.names:
            return Match(key, How.SAME)
        for fits, how in (
            (self.aliases.get(fold_tag(key)), How.ALIAS),
            (self.without_zeros.get(_bare(key)), How.ZEROS),
        ):
            if fits:
                return Match(next(iter(fits)), how) if len(fits) == 1 else Match(key, How.TWO_FIT)
        return Match(key, How.UNKNOWN)


def _bare(key: str) -> str:
    return key.lstrip("0") if key.isdigit() else key


def _frozen(sets: Mapping[str, set[str]]) -> dict[str, frozenset[str]]:
    return {key: frozenset(value) for key, value in sets.items()}


def lamb_name(written: str) -> tuple[str, int] | None:
    """The ewe and number in a lamb called 1042-2; None where it is not written that way."""
    parts = _LAMB_NAME.fullmatch(written.strip())
    return (parts[1], int(parts[2])) if parts else None
