"""The ewes the scan says to plan for: big litters with singles to set lambs on to, ewes warned of, first-time mothers.

Where a litter is of three, one single is named for it, of four and more two; each single once. First as many as can be due the
same night; for the rest a single due the night after, since a lamb can wait for her; then one due the night before. Singles of
whom last year warns, or that are very thin, are not named. A due day that is no more than the ram's first day tells no night.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from enum import IntEnum
from typing import NamedTuple

from template_builder.layout.alerts import VERY_THIN_BELOW
from template_builder.layout.columns import Row, Value
from template_builder.layout.warning import last_years_warning
from template_builder.layout.words import shown
from template_builder.plan.groups import InLamb, weeks_of
from template_builder.plan.spare import REARS

TWO_SINGLES_FROM = 4  # lambs scanned
NIGHTS = (0, 1, -1)  # from hers to the single's, as they are tried


class Why(IntEnum):
    """Why a ewe is planned for, the most pressing first: each ewe stands under one."""

    BIG_LITTER, ABORTED, PROLAPSE, UDDER, REFUSED, WARNED, FIRST = range(1, 8)


# What it is called, and what people do.
TOLD: Mapping[Why, tuple[str, str]] = {
    Why.BIG_LITTER: ("three lambs or more", ""),
    Why.ABORTED: ("aborted before", "ask your vet about her; wear gloves"),
    Why.PROLAPSE: ("prolapse before", "look behind her every day; call your vet"),
    Why.UDDER: ("udder or teats before", "both sides in milk? see her lambs full"),
    Why.REFUSED: ("fault or lambs lost before", "pen her; see each lamb taken and sucking"),
    Why.WARNED: ("warned of last year", "read the warning"),
    Why.FIRST: ("first lambing", "a quiet pen; see that she takes each lamb"),
}
SECTIONS = ((Why.BIG_LITTER, 20), (Why.WARNED, 12), (Why.FIRST, 8))  # the last of each part of the list, and rows for it


class Expected(NamedTuple):
    """A ewe in lamb and what her row on Ewes says of her."""

    in_lamb: InLamb
    row: Row
    condition: float | None = None
    ram_due: date | None = None  # the first day of her group's ram and the days of gestation

    @property
    def why(self) -> Why | None:
        """Why she is planned for, if at all."""
        if self.in_lamb.scanned > REARS:
            return Why.BIG_LITTER
        words = {Why.ABORTED: "past_abortion", Why.PROLAPSE: "past_prolapse", Why.UDDER: "past_udder"}
        said = next((why for why, column in words.items() if shown(self.row.get(column))), None)
        if said:
            return said
        if any(_some(self.row.get(column)) for column in ("past_refused", "past_lost", "past_fault_1")):
            return Why.REFUSED
        if last_years_warning(self.row):
            return Why.WARNED
        return Why.FIRST if self.row.get("lambings_before") == 0 else None

    @property
    def may_be_named(self) -> bool:
        """Whether a lamb of another ewe may be planned for her: one lamb, no warning, not very thin."""
        thin = self.condition is not None and self.condition < VERY_THIN_BELOW
        return self.in_lamb.scanned == 1 and not last_years_warning(self.row) and not thin


def _some(value: Value) -> bool:
    return isinstance(value, int | float) and value > 0


def ahead(ewes: Sequence[Expected]) -> list[tuple[int, Why]]:
    """The places of the ewes to plan for, in the order of the list, each with why."""
    known = _nights(ewes)
    found = []
    for place, (ewe, day) in enumerate(zip(ewes, known, strict=True)):
        if (why := ewe.why) is None:
            continue
        lambs = ewe.in_lamb.scanned
        most_first = max(0, REARS - lambs) if why is Why.FIRST else 0
        found.append((why, most_first, day is None, day or 0, lambs < TWO_SINGLES_FROM, place))
    return [(place, why) for why, *_, place in sorted(found)]


def singles_named(ewes: Sequence[Expected]) -> Mapping[int, tuple[int, ...]]:
    """For each ewe with three or more whose due day is known the places of the singles named for her, by her place."""
    known = _nights(ewes)
    big = sorted((day, ewe.in_lamb.scanned < TWO_SINGLES_FROM, place)
                 for place, (ewe, day) in enumerate(zip(ewes, known, strict=True)) if day and ewe.in_lamb.scanned > REARS)
    wanted: dict[int, list[int]] = {}
    for due, _, place in big:
        wanted.setdefault(due, []).append(place)
    for due, three, place in big:
        wanted[due] += [] if three else [place]
    free: dict[int, list[int]] = {}
    for place, (ewe, day) in enumerate(zip(ewes, known, strict=True)):
        if day and ewe.may_be_named:
            free.setdefault(day, []).append(place)
    named: dict[int, tuple[int, ...]] = {place: () for _, _, place in big}
    for nights in NIGHTS:
        for day, places in wanted.items():
            while places and free.get(day + nights):
                place = places.pop(0)
                named[place] += (free[day + nights].pop(0),)
    return named


def _nights(ewes: Sequence[Expected]) -> list[int | None]:
    """Each ewe's due day as a number; None where she has none of her own, or one so far from all others that it is a slip."""
    return [due.toordinal() if (due := ewe.in_lamb.due) and week and (due != ewe.ram_due or ewe.row.get("mated_on")) else None
            for ewe, week in zip(ewes, weeks_of([ewe.in_lamb for ewe in ewes]), strict=True)]
