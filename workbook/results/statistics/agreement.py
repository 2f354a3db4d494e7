"""How well the scanner's count agrees with what was born."""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from workbook.results.statistics.proportions import Proportion, wilson

CLOSE = 1
"""A count this many lambs out is still "within one"."""


@dataclass(frozen=True)
class Agreement:
    """Scanned counts against born counts, one ewe each time.

    The kappas are 1 for full agreement and 0 for no better than chance with the same totals;
    None means not defined.
    """

    n: int
    exact: Proportion
    within_one: Proportion
    kappa: float | None
    weighted_kappa: float | None


@dataclass(frozen=True)
class Screening:
    """How far a yes-or-no test (in lamb or empty) can be trusted."""

    sensitivity: Proportion  # of ewes in lamb, those scanned in lamb
    specificity: Proportion  # of empty ewes, those scanned empty
    kappa: float | None


def agreement(table: Mapping[tuple[int, int], int]) -> Agreement:
    """Agreement of (lambs scanned, lambs born) -> number of ewes.

    Weighted kappa counts a miss by the lambs it is out (linear weights): 3 for 2 is less bad than 3 for 0.
    Both kappas are None when all ewes were scanned alike or all bore alike: skill then looks like chance.
    Source: Cohen 1960 and 1968 (from memory). Raises ValueError for a negative number of ewes.
    """
    if any(ewes < 0 for ewes in table.values()):
        raise ValueError(f"a number of ewes cannot be negative: {dict(table)}")
    n = sum(table.values())
    return Agreement(
        n=n,
        exact=wilson(_ewes_out_by_at_most(0, table), n),
        within_one=wilson(_ewes_out_by_at_most(CLOSE, table), n),
        kappa=_kappa(table, lambda scanned, born: int(scanned != born)),
        weighted_kappa=_kappa(table, _lambs_out),
    )


def two_by_two(tp: int, fn: int, fp: int, tn: int) -> Screening:
    """How far to trust a scan for in lamb or empty, from four numbers of ewes.

    In lamb and found (tp), in lamb and missed (fn), empty but called in lamb (fp), empty and so called (tn).
    Raises ValueError for a negative number of ewes.
    """
    kappa = agreement({(1, 1): tp, (0, 1): fn, (1, 0): fp, (0, 0): tn}).kappa
    return Screening(
        sensitivity=wilson(tp, tp + fn),
        specificity=wilson(tn, tn + fp),
        kappa=kappa,
    )


def _lambs_out(scanned: int, born: int) -> int:
    return abs(scanned - born)


def _ewes_out_by_at_most(lambs: int, table: Mapping[tuple[int, int], int]) -> int:
    return sum(ewes for pair, ewes in table.items() if _lambs_out(*pair) <= lambs)


def _kappa(table: Mapping[tuple[int, int], int], distance: Callable[[int, int], int]) -> float | None:
    """1 - (disagreement seen) / (disagreement expected by chance), each miss counted by its distance."""
    scanned_ewes, born_ewes = Counter[int](), Counter[int]()
    for (scanned, born), ewes in table.items():
        scanned_ewes[scanned] += ewes
        born_ewes[born] += ewes
    if len(+scanned_ewes) < 2 or len(+born_ewes) < 2:  # unary plus leaves out classes without a ewe
        return None
    classes = sorted(scanned_ewes | born_ewes)
    seen = sum(distance(*pair) * ewes for pair, ewes in table.items())
    by_chance = sum(
        distance(scanned, born) * scanned_ewes[scanned] * born_ewes[born]
        for scanned in classes
        for born in classes
    )
    return 1 - scanned_ewes.total() * seen / by_chance
