"""Whether classes differ by more than chance would give, and what each is likely to be once chance is allowed for.

With ten rams one is always the worst: so the whole table is asked first whether it differs, and the share of each class is
drawn towards the share of all by as much as such tables scatter by chance. Counts are (cases, animals). A class counts for
animals / design effect, because litter mates tell less than strangers; a design effect below 1 is taken as 1.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import erfc, exp, fsum, inf, lgamma, log, sqrt

from workbook.results.statistics.proportions import Ratio, widened_relative_risk

LIMIT = 0.05
"""Differences as large as this or larger come up less often than once in twenty tables of pure chance: below it, no chance."""

# Animals of prior weight between which the spread of classes is looked for, and how finely on a logarithmic scale.
LEAST_WEIGHT, MOST_WEIGHT, FINE = 0.5, 1e5, 1e-7
GOLDEN = (sqrt(5) - 1) / 2
NO_GAIN = 1e-6  # of log-likelihood: that much is rounding, so classes scatter no more than chance

Count = tuple[int, int]


@dataclass(frozen=True)
class Heterogeneity:
    """How far classes lie apart. `p` is how often chance alone would put them as far apart or further, from 0 to 1."""

    chi_square: float
    freedom: int
    p: float


def heterogeneity(counts: Sequence[Count], effects: Sequence[float]) -> Heterogeneity | None:
    """Whether classes differ at all: Pearson's chi-square of cases and others, each class divided by its design effect.

    Source: Rao & Scott 1992, Biometrics 48:577 (from memory); with design effects of 1 the plain chi-square of a table.
    None where there is nothing to test: fewer than two classes with animals, no case, or nothing but cases.
    """
    effective = _effective(counts, effects)
    cases, animals = fsum(x for x, _ in effective), fsum(n for _, n in effective)
    freedom = len(effective) - 1
    if freedom < 1 or not 0 < cases < animals:
        return None
    share = cases / animals
    chi_square = fsum((x - n * share) ** 2 / (n * share * (1 - share)) for x, n in effective)
    return Heterogeneity(chi_square, freedom, chi_square_tail(chi_square, freedom))


def chi_square_tail(value: float, freedom: int) -> float:
    """How often a chi-square of so many degrees of freedom is `value` or more.

    The finite sums for whole degrees of freedom. Source: Abramowitz & Stegun 1964, 26.4.4 and 26.4.5 (from memory).
    """
    half, odd = value / 2, freedom % 2
    if half <= 0:
        return 1.0
    powers = [at + odd / 2 for at in range(freedom // 2)]
    return min(1.0, odd * erfc(sqrt(half)) + fsum(exp(power * log(half) - half - lgamma(power + 1)) for power in powers))


def corrected(chances: Sequence[float]) -> list[float]:
    """Each chance made larger for how many tables were looked at, so that one in twenty holds for all of them together.

    The smallest is taken times the number of tables, the next times one fewer, and so on; none falls below one before it.
    Source: Holm 1979, Scand. J. Stat. 6:65 (from memory).
    """
    found, highest = [0.0] * len(chances), 0.0
    for rank, at in enumerate(sorted(range(len(chances)), key=chances.__getitem__)):
        highest = max(highest, min(1.0, chances[at] * (len(chances) - rank)))
        found[at] = highest
    return found


def apart(a: Count, b: Count, effect_a: float, effect_b: float) -> bool:
    """Whether two classes differ by more than chance: their risk ratio's 95 % interval leaves 1 out.

    Where counts define no interval (none lost in one of them) the chi-square of both decides.
    """
    return beyond_one(widened_relative_risk(a, b, effect_a, effect_b), a, b, effect_a, effect_b)


def beyond_one(ratio: Ratio, a: Count, b: Count, effect_a: float, effect_b: float) -> bool:
    """As `apart`, of classes whose risk ratio is already worked out."""
    if ratio.low is not None and ratio.high is not None:
        return not ratio.low <= 1 <= ratio.high
    test = heterogeneity((a, b), (effect_a, effect_b))
    return test is not None and test.p < LIMIT


def shrunk_shares(counts: Sequence[Count], effects: Sequence[float]) -> list[float | None]:
    """The share of each class drawn towards that of all: (cases + share x weight) / (animals + weight).

    `weight` is a number of animals: the classes' true shares are taken as beta distributed round the share of all, cases as
    binomial within them, and the weight is the one that makes the counts likeliest. Classes that scatter no more than chance
    would make them all get the share of all. Source: beta-binomial, Griffiths 1973, Biometrics 29:637; empirical Bayes,
    Efron & Morris 1975, J. Am. Stat. Assoc. 70:311 (both from memory). None for a class without animals.
    """
    effective = _effective(counts, effects)
    cases, animals = fsum(x for x, _ in effective), fsum(n for _, n in effective)
    share = cases / animals if animals else 0.0
    weight = prior_weight(effective, share) if 0 < share < 1 else inf
    own = iter(share if weight == inf else (x + share * weight) / (n + weight) for x, n in effective)
    return [next(own) if n else None for _, n in counts]


def prior_weight(effective: Sequence[tuple[float, float]], share: float) -> float:
    """The likeliest number of animals the share of all counts for beside a class's own; endless where chance explains all.

    Searched on a logarithmic scale by golden section.
    """
    def likelihood(logarithm: float) -> float:
        a, b = share * exp(logarithm), (1 - share) * exp(logarithm)
        return fsum(_log_beta(x + a, n - x + b) - _log_beta(a, b) for x, n in effective)

    found = _highest(likelihood, log(LEAST_WEIGHT), log(MOST_WEIGHT))
    by_chance = fsum(x * log(share) + (n - x) * log(1 - share) for x, n in effective)
    return exp(found) if likelihood(found) > by_chance + NO_GAIN else inf


def _effective(counts: Sequence[Count], effects: Sequence[float]) -> list[tuple[float, float]]:
    """Cases and animals of each class that has any, as many as strangers would be to tell as much."""
    return [(x / max(1.0, effect), n / max(1.0, effect)) for (x, n), effect in zip(counts, effects, strict=True) if n]


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def _highest(of: Callable[[float], float], low: float, high: float) -> float:
    """Where a function with one top has it."""
    left, right = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_left, at_right = of(left), of(right)
    while high - low > FINE:
        if at_left >= at_right:
            high, right, at_right = right, left, at_left
            left = high - GOLDEN * (high - low)
            at_left = of(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + GOLDEN * (high - low)
            at_right = of(right)
    return (low + high) / 2
