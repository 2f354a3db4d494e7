"""The ewes that figures count: of which a fact holds, and which of them stand in the denominator of the ewes to the ram."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from workbook.results.litters.ewe_facts import holding
from workbook.results.litters.figure import Denominator, Numerator, Rows
from workbook.results.litters.movements import scan_of
from workbook.results.litters.to_ram import WORDS, ToRam
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups


@dataclass(frozen=True)
class EwesIn:
    """The ewes that figures count, and how many of them a fact holds of, above or below the line."""

    all: tuple[Ewe, ...]
    groups: Groups
    went: ToRam

    def that(self, fact: str) -> tuple[Ewe, ...]:
        return holding(fact, self.all, self.groups)

    def counted(self, fact: str, words: str, column: str = "ewe") -> Numerator:
        return counted_ewes(self.that(fact), words, column, Rows((fact,)))

    def of_those_to_ram(self, fact: str, words: str, column: str = "ewe") -> Numerator:
        """Only those whose group says how many went to the ram."""
        found = self.that(fact)
        kept = tuple(filter(self.went.holds, found))
        return counted_ewes(kept, words, column, Rows((fact,)) if kept == found else None)

    def mothers_to_ram(self, counted: Numerator, lambs: Iterable[Lamb], column: str, per_ewe: Denominator) -> Numerator:
        """The lambs counted, without those of ewes that are not in the denominator."""
        all = tuple(lambs)
        kept = tuple(filter(self.holds_mother, all))
        if per_ewe.words != WORDS or kept == all:
            return counted
        return replace(counted, number=len(kept), rows=tuple(lamb.record.at(column if lamb.named else "ewe") for lamb in kept),
                       counts=None)

    def holds_mother(self, lamb: Lamb) -> bool:
        """Whether the ewe that bore a lamb is in the denominator of the ewes to the ram."""
        return self.went.holds(self._by_key.get(lamb.bearer or ""))

    @cached_property
    def _by_key(self) -> Mapping[str, Ewe]:
        return {ewe.key: ewe for ewe in self.all}

    def scanned_to_ram(self, counted: Numerator) -> Numerator:
        """The lambs scanned, without those of ewes that are not in the denominator."""
        found = self.that("ewe_scanned")
        kept = tuple(filter(self.went.holds, found))
        if kept == found:
            return counted
        return replace(counted_ewes(kept, counted.words, "scanned"), number=sum(scan_of(ewe) or 0 for ewe in kept))

    def against(self, fact: str, words: str, note: str = "") -> Denominator:
        return Denominator(len(self.that(fact)), words, note, Rows((fact,)))


def counted_ewes(ewes: Iterable[Ewe], words: str, column: str = "ewe", counts: Rows | None = None) -> Numerator:
    found = tuple(ewes)
    records = (ewe.record or ewe.lambing or ewe.laid for ewe in found)
    return Numerator(len(found), words, tuple(record.at(column) for record in records if record is not None), counts)
