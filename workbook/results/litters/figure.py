"""A figure: what is counted, against what, the share or ratio of the two, and a sentence that says so."""

from dataclasses import dataclass, replace

from workbook.results.statistics.proportions import FEW, PER_CENT, Proportion, widened_wilson
from workbook.season.cells import CellRef


@dataclass(frozen=True)
class Rows:
    """Which rows a number counts: facts of ewes or lambs (see `ewe_facts`), and lines of the account taken in whole."""

    facts: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    less: tuple[str, ...] = ()


@dataclass(frozen=True)
class Figure:
    """One figure. `value` is None where it is not defined; `low` and `high` are in the unit of the value.

    `rows` are the places it rests on (numerator rows), `so_far` says that ewes are still to lamb. `without` is the sentence
    that names groups it leaves out because they are known by counts only, also the end of `definition`.
    `known` of `of` animals are what it rests on; where that is not all, `partly` says so and `least` and `most` are what it
    could be if the rest were all one way or the other. `effect` is the design effect that widens its interval. `above` and
    `below` are what numerator and denominator count, None for one that is no count of rows.
    """

    id: str
    label: str
    value: float | None
    unit: str
    numerator: float | None
    denominator: float | None
    definition: str
    low: float | None = None
    high: float | None = None
    few: bool = False
    so_far: bool = False
    rows: tuple[CellRef, ...] = ()
    without: str = ""
    above: Rows | None = None
    below: Rows | None = None
    known: int | None = None
    of: int | None = None
    least: float | None = None
    most: float | None = None
    partly: str = ""
    effect: float = 1.0


@dataclass(frozen=True)
class Numerator:
    """What is counted, in words that begin a sentence, and the places it was counted at."""

    number: float | None
    words: str
    rows: tuple[CellRef, ...] = ()
    counts: Rows | None = None


@dataclass(frozen=True)
class Denominator:
    """What is counted against. `number` is None where it is not recorded; `note` says what is missing."""

    number: float | None
    words: str
    note: str = ""
    counts: Rows | None = None


def per(
    id: str, label: str, counted: Numerator, of: Denominator, unit: str = "%", scale: float = PER_CENT,
) -> Figure:
    """A ratio that may pass one to one, such as lambs per ewe: it has no interval. `scale` is 100 for per cent."""
    words = f"{counted.words}, {'per 100' if scale == PER_CENT else 'divided by the number of'} {of.words}."
    value = scale * counted.number / of.number if counted.number is not None and of.number else None
    return Figure(
        id, label, value, unit, counted.number, of.number, " ".join(filter(None, (words, of.note))),
        few=of.number is not None and of.number < FEW, rows=counted.rows, above=counted.counts, below=of.counts,
    )


def share(id: str, label: str, counted: Numerator, of: Denominator, effect: float = 1.0) -> Figure:
    """A share in per cent with its interval, widened by the design effect of litters where lambs are counted.

    Where more are counted than there can be, the records disagree: no figure.
    """
    if of.number is None or counted.number is None:
        return replace(per(id, label, counted, of), definition=_out_of(counted.words, of.words, of.note))
    if counted.number > of.number:
        note = " ".join(filter(None, (of.note, "Not worked out: more than there can be.")))
        return replace(per(id, label, counted, of), value=None, definition=_out_of(counted.words, of.words, note))
    proportion = widened_wilson(counted.number, int(of.number), effect)
    figure = wilson_figure(id, label, proportion, counted.words, of.words, of.note)
    return replace(figure, rows=counted.rows, above=counted.counts, below=of.counts, effect=effect)


def wilson_figure(id: str, label: str, share: Proportion, counted: str, of: str, note: str = "") -> Figure:
    """A share in per cent from a proportion that is already known, with its interval."""
    value, low, high = (None if part is None else PER_CENT * part for part in (share.value, share.low, share.high))
    return Figure(id, label, value, "%", share.numerator, share.denominator, _out_of(counted, of, note), low, high, share.few)


def _out_of(counted: str, of: str, note: str) -> str:
    return " ".join(filter(None, (f"{counted}, out of all {of}.", note)))
