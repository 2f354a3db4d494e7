"""Bias and coverage of every figure over a thousand flocks of known truth: `cd tests && python -m known_truth.run [FLOCKS]`."""

import sys
from collections.abc import Iterator
from itertools import chain

from known_truth.coverage import expected_and_next, slope, table, tallied, truth
from known_truth.records import NO_DAY

FLOCKS, EWES = 1_000, 250
SLOPES = 200  # flocks for the expectation of next year


def lines(flocks: int) -> Iterator[str]:
    true = truth()
    yield f"{flocks} flocks of {EWES} ewes, every death seen with its day"
    yield table(tallied(range(flocks), EWES, true, no_day=0.0), true)
    yield f"\nStages where {NO_DAY:.0%} of the deaths seen have no day: those stand in no stage but \"not known when\""
    found = tallied(range(flocks // 4), EWES, true)
    yield table({id: one for id, one in found.items() if id.startswith(("stage:", "loss_live"))}, true)
    found_slope = slope(chain.from_iterable(expected_and_next(seed, EWES) for seed in range(min(flocks, SLOPES))))
    yield f"\nNext litter against what was expected of a ewe, slope (1 is right): {found_slope:.3f}"


if __name__ == "__main__":
    for line in lines(int(sys.argv[1]) if len(sys.argv) > 1 else FLOCKS):
        print(line, flush=True)  # noqa: T201 - a table for a person
