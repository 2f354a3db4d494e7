"""Shares of ewes and lambs with an honest margin: how sure is "3 lost of 20"?

Every share, risk and limit here is a fraction from 0 to 1; whoever prints it makes the per cent.
Counts that cannot be (more lost than there were, fewer than none) are mistakes in calling: ValueError.
Fractions are summed exactly, so that the order of rows changes no result.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, fsum, log, sqrt
from statistics import NormalDist, fmean
from typing import NamedTuple

from template_builder.layout.policy import TOO_FEW_BELOW

CONFIDENCE = 0.95
Z95 = NormalDist().inv_cdf((1 + CONFIDENCE) / 2)
"""Standard normal deviate of a two-sided 95 % interval, about 1.96."""

PER_CENT = 100
"""What a fraction is multiplied by, for whoever prints it."""

FEW = TOO_FEW_BELOW
"""Below this many animals a share is shown as "few", and a mean is compared with nothing (house rule)."""


@dataclass(frozen=True)
class Proportion:
    """So many out of so many, with the range the true share may well lie in.

    `value`, `low` and `high` are fractions; all three are None when nothing was counted (denominator 0).
    """

    numerator: float
    denominator: int
    low: float | None
    high: float | None
    value: float | None

    @property
    def few(self) -> bool:
        """True when too few animals stand behind the share to read much into it."""
        return self.denominator < FEW


class Ratio(NamedTuple):
    """How many times one group's risk (or odds) is another's, with 95 % limits.

    Each is None where the counts do not define it.
    """

    value: float | None
    low: float | None
    high: float | None


NO_RATIO = Ratio(None, None, None)


def wilson(numerator: float, denominator: int, z: float = Z95) -> Proportion:
    """Share with its two-sided Wilson score interval (95 % unless another `z` is given).

    Stays inside 0 to 1 and says something sensible of none lost and of small groups.
    Source: Wilson 1927, J. Am. Stat. Assoc. 22:209 (from memory), in the form of the
    NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.4.1.
    Raises ValueError if the numerator is negative or above the denominator.
    """
    _check_share(numerator, denominator)
    return _interval(numerator, denominator, denominator, z)


def widened_wilson(numerator: float, denominator: int, design_effect: float, z: float = Z95) -> Proportion:
    """Share with a Wilson interval as wide as its effective number deserves.

    Litter mates share a ewe and pen mates a pen, so 20 lambs from 10 ewes tell less than 20 unrelated ones.
    The share is unchanged; the interval is that of denominator / design_effect animals. A design effect
    below 1 is taken as 1: likeness that comes out negative is no ground for claiming to know more.
    Raises ValueError as `wilson` does.
    """
    _check_share(numerator, denominator)
    return _interval(numerator, denominator, denominator / max(1.0, design_effect), z)


def design_effect(mean_cluster_size: float, icc: float) -> float:
    """How many animals of a cluster tell as much as one unrelated animal: 1 + (m - 1) ICC.

    Source: Kish 1965, Survey Sampling (from memory).
    """
    return 1 + (mean_cluster_size - 1) * icc


def intraclass_correlation(groups: Sequence[Sequence[float]]) -> float | None:
    """How alike members of one group are: 1 fully alike, 0 no more than strangers; can fall a little below 0.

    One-way analysis of variance with unequal group sizes: t = (MSB - MSW) / (MSB + (n0 - 1) MSW), where
    n0 = (N - sum of squared sizes / N) / (groups - 1). Empty groups are left out.
    Source: Shrout & Fleiss 1979, ICC(1,1), with the usual n0 for unequal sizes (both from memory).
    None when not defined: fewer than two groups, no group with two members, or all values the same.
    """
    filled = [group for group in groups if group]
    values = [value for group in filled for value in group]
    between_df, within_df = len(filled) - 1, len(values) - len(filled)
    if between_df < 1 or within_df < 1 or min(values) == max(values):
        return None
    overall = fmean(values)
    between = fsum(len(group) * (fmean(group) - overall) ** 2 for group in filled) / between_df
    within = fsum((value - fmean(group)) ** 2 for group in filled for value in group) / within_df
    usual_size = (len(values) - sum(len(group) ** 2 for group in filled) / len(values)) / between_df
    return (between - within) / (between + (usual_size - 1) * within)


def effect_of_clusters(clusters: Iterable[tuple[int, int]]) -> float:
    """The design effect of a share from (cases, animals) of each cluster, at least 1.

    The variance of a ratio of two sums over clusters, over that of as many strangers: clusters that are alike within and
    larger ones that fare worse both count. Source: Cochran 1977, Sampling Techniques, section 6 (from memory); the
    cluster-robust variance of statistics packages.
    """
    filled = [(cases, animals) for cases, animals in clusters if animals > 0]
    all_cases, all_animals = sum(cases for cases, _ in filled), sum(animals for _, animals in filled)
    if len(filled) < 2 or not 0 < all_cases < all_animals:
        return 1.0
    share = all_cases / all_animals
    apart = fsum((cases - share * animals) ** 2 for cases, animals in filled) * len(filled) / (len(filled) - 1)
    return max(1.0, apart / (all_animals * share * (1 - share)))


def widened_relative_risk(a: tuple[int, int], b: tuple[int, int], effect_a: float, effect_b: float) -> Ratio:
    """How many times the risk of (cases, total) of b that of a is, its interval as wide as the effective numbers deserve.

    Log-normal 95 % interval. Source: Katz et al. 1978, Biometrics 34:469 (from memory). Each group counts for total / design
    effect animals, as in `widened_wilson`; a design effect below 1 is taken as 1. Source: Rao & Scott 1992, Biometrics 48:577
    (from memory). No value without cases in b or animals in a. No limits without cases in a, nor when every animal of both
    groups is a case (the formula would then claim certainty). Raises ValueError for counts that cannot be.
    """
    (cases_a, total_a), (cases_b, total_b) = a, b
    _check_share(cases_a, total_a)
    _check_share(cases_b, total_b)
    if not (total_a and cases_b):
        return NO_RATIO
    value = (cases_a / total_a) / (cases_b / total_b)
    if not cases_a or (cases_a == total_a and cases_b == total_b):
        return Ratio(value, None, None)
    of_a, of_b = max(1.0, effect_a) * (1 / cases_a - 1 / total_a), max(1.0, effect_b) * (1 / cases_b - 1 / total_b)
    return _log_normal(value, sqrt(of_a + of_b))


def odds_ratio(cases_a: int, total_a: int, cases_b: int, total_b: int) -> Ratio:
    """How many times the odds of group b the odds of group a are.

    Further from 1 than the relative risk, much further when cases are common: say which of the two is shown.
    Log-normal 95 % interval. Source: Woolf 1955, Ann. Hum. Genet. 19:251 (from memory).
    No value when a has nothing but cases or b has none; no limits when a has no cases or b nothing but cases.
    Raises ValueError for counts that cannot be.
    """
    _check_share(cases_a, total_a)
    _check_share(cases_b, total_b)
    others_a, others_b = total_a - cases_a, total_b - cases_b
    if not (others_a and cases_b):
        return NO_RATIO
    value = (cases_a * others_b) / (others_a * cases_b)
    if not value:
        return Ratio(value, None, None)
    return _log_normal(value, sqrt(1 / cases_a + 1 / others_a + 1 / cases_b + 1 / others_b))


def _check_share(numerator: float, denominator: int) -> None:
    if not 0 <= numerator <= denominator:
        raise ValueError(f"{numerator} out of {denominator} is not a share: count from 0 up to {denominator}")


def _interval(numerator: float, denominator: int, n: float, z: float) -> Proportion:
    """Wilson limits of numerator / denominator as if `n` animals stood behind it."""
    if not denominator:
        return Proportion(numerator, denominator, None, None, None)
    share = numerator / denominator
    scale = 1 + z**2 / n
    centre = (share + z**2 / (2 * n)) / scale
    half_width = z * sqrt(share * (1 - share) / n + z**2 / (4 * n**2)) / scale
    # At none and at all the limits are exactly 0 and 1; rounding must not push them, or any other, past it.
    low = 0.0 if share == 0 else max(0.0, centre - half_width)
    high = 1.0 if share == 1 else min(1.0, centre + half_width)
    return Proportion(numerator, denominator, low, high, share)


def _log_normal(value: float, standard_error: float) -> Ratio:
    """95 % limits from the standard error of the ratio's logarithm."""
    return Ratio(value, exp(log(value) - Z95 * standard_error), exp(log(value) + Z95 * standard_error))
