"""How many lambs of big litters will want another ewe or a bottle: those alive beyond the two that a ewe can rear."""

REARS = 2  # lambs a ewe can rear: one a teat


def expected_beyond_two(litter: int, alive: float) -> float:
    """The mean of lambs alive beyond two in a litter of this size, each alive with this chance, in closed form."""
    dead = 1 - alive
    none, one = dead ** litter, litter * alive * dead ** (litter - 1) if litter else 0.0
    return litter * alive - REARS + REARS * none + one
