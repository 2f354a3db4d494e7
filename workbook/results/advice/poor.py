"""Poor lambings: a year in which a ewe reared none, or little, stands out though no single fault is written."""

from collections.abc import Iterator
from typing import NamedTuple

from template_builder.layout.sheets.ewes import POOR
from workbook.results.clinical.rearing import reared_none
from workbook.results.scores.rearing import Rearing, rearing
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.history import counting
from workbook.season.season import Season

# A litter lighter than like ewes' by this share of theirs is a poor one: house rule.
LIGHT_SHARE = 1 / 3
PER_CENT = 100
_ROUNDING = 1e-9


class PoorLambing(NamedTuple):
    """Whether this season's lambing was poor, in words where it was; `poor` None where nothing bears on it."""

    poor: bool | None
    words: str = ""
    light: bool = False


def poor_lambing(season: Season, ewe: Ewe) -> PoorLambing:
    """Poor is a lambing of which she reared none of her live-born, or a litter a third or more under those of like ewes."""
    none, share = reared_none(season, ewe), share_of_like_ewes(rearing(season), ewe.key)
    if none:
        return PoorLambing(True, "reared none")
    if share is not None and share <= -LIGHT_SHARE + _ROUNDING:
        return PoorLambing(True, f"litter {-share * PER_CENT:.0f} % under like ewes", light=True)
    return PoorLambing(None if none is None and share is None else False)


def share_of_like_ewes(reared: Rearing, ewe: str) -> float | None:
    """What her litter weighs above like ewes', as a share of theirs, below zero for less; None where it was not compared."""
    against, litter = reared.against(ewe), reared.litters.get(ewe)
    if litter is None or against is None or against.deviation is None:
        return None
    like = sum(reared.lambs.lambs[row].kg for row in litter.rows) - against.deviation
    return against.deviation / like if like > 0 else None


class PoorOfThree(NamedTuple):
    """In how many of her last three lambings she was poor, with the cells; None where nothing is known of any."""

    number: int | None
    words: str
    earlier: tuple[CellRef, ...]
    now: PoorLambing


def poor_of_three(season: Season, ewe: Ewe) -> PoorOfThree:
    """This lambing and the two before it, her first of all left out; where she did not lamb this season, the last three."""
    now = poor_lambing(season, ewe)
    written = list(counting(ewe, POOR, this_one=ewe.delivered))
    first = ewe.record is not None and ewe.record.whole("lambings_before") == 0
    counts = bool(now.poor) and not first
    earlier = tuple(ewe.record.at(column) for column, poor in written if poor == 1 and ewe.record)
    if now.poor is None and all(poor is None for _, poor in written):
        return PoorOfThree(None, "", (), now)
    return PoorOfThree(counts + len(earlier), ", ".join(_said(now, counts, len(earlier))), earlier, now)


def _said(now: PoorLambing, counts: bool, earlier: int) -> Iterator[str]:
    if counts:
        yield f"this season {now.words}"
    if earlier:
        yield "one earlier" if earlier == 1 else f"{earlier} earlier"
