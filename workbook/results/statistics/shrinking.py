"""Differences of several classes drawn in by what chance alone would make of them."""

from collections.abc import Sequence

from workbook.results.statistics.least_squares import Estimate


def spread_between(means: Sequence[Estimate]) -> float:
    """Variance of the true means behind these, in the square of their unit: what is left when their errors are taken off.

    Nought where they differ by no more than their errors. Source: DerSimonian and Laird 1986, Controlled Clinical Trials 7:177.
    """
    weights = [1 / mean.error**2 for mean in means if mean.error > 0]
    if len(weights) < len(means) or len(means) < 2:
        return 0.0
    total = sum(weights)
    centre = sum(weight * mean.value for weight, mean in zip(weights, means, strict=True)) / total
    apart = sum(weight * (mean.value - centre) ** 2 for weight, mean in zip(weights, means, strict=True))
    return max(0.0, (apart - (len(means) - 1)) / (total - sum(weight**2 for weight in weights) / total))


def shrunk(means: Sequence[Estimate], centre: float) -> list[float]:
    """How far each stands from `centre`, times the share of it that is not chance: the fewer its records, the less."""
    between = spread_between(means)
    return [(mean.value - centre) * between / (between + mean.error**2) if between else 0.0 for mean in means]
