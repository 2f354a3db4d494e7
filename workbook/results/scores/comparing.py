"""Weights against weights of their like: classes large enough to mean something, and what is left when they are allowed for."""

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, NamedTuple, TypeVar

from template_builder.layout.words import so_many
from workbook.results.statistics.least_squares import Fit, fit
from workbook.results.statistics.proportions import FEW

Key = TypeVar("Key", bound=Hashable)

AND = " and "
ALIKE = 1e-6  # kg; weights that differ by less are all alike


class Level(NamedTuple):
    """A class as written. Small classes join their neighbour by `order`, but only inside one `block`."""

    block: str
    order: float
    name: str


@dataclass(frozen=True)
class Against:
    """A weight against its like: kg above them, that in standard deviations, how many were compared, and with what.

    `deviation` is None where there are too few to compare with; `spreads` too where all are alike.
    """

    deviation: float | None
    spreads: float | None
    number: int
    words: str


@dataclass(frozen=True)
class Comparison(Generic[Key]):
    """Every weight against its like, the model behind it (None where there were too few), and the model in words.

    `classes` are those of each effect after joining, in order, and `numbers` the records of each.
    """

    against: Mapping[Key, Against]
    model: Fit | None = None
    words: str = ""
    classes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    numbers: Mapping[tuple[str, str], int] = field(default_factory=dict)


def compare(
    values: Mapping[Key, float], effects: Mapping[str, Mapping[Key, Level]], noun: str,
    lines: Mapping[str, Mapping[Key, float]] | None = None, clusters: Mapping[Key, Hashable] | None = None,
) -> Comparison[Key]:
    """Each value less what the classes of its record give, by least squares on these records alone.

    `lines` are numbers allowed for along a straight line each; records of one of the `clusters` are alike in ways no class
    tells.

    Stated fallback where classes are small (under 10 records): one joins its smaller neighbour; a block that is small
    as a whole is not compared; an effect left with one class is dropped; under 10 records in all there is no comparison.
    """
    small = _in_small_blocks(values, effects)
    kept = [key for key in values if key not in small]
    against = {
        key: Against(None, None, number, f"few: only {counted(number, noun)} {name}") for key, (number, name) in small.items()
    }
    if len(kept) < FEW:
        few = f"few: only {counted(len(kept), noun)} to compare"
        return Comparison({**against, **{key: Against(None, None, len(kept), few) for key in kept}}, words=few if values else "")
    joined = {effect: join_small([levels[key] for key in kept]) for effect, levels in effects.items()}
    fitted = {effect: names for effect, names in joined.items() if len(set(names)) > 1}
    straight = {name: column for name, line in (lines or {}).items() if len(set(column := [line[key] for key in kept])) > 1}
    model = fit([values[key] for key in kept], fitted, straight, None if clusters is None else [clusters[key] for key in kept])
    allowed = [*fitted, *straight]
    words = f"{len(kept)} {noun}" + (f", allowing for {listed(allowed)}" if allowed else "")
    spread = model.spread if model.spread > ALIKE else None
    against |= {
        key: Against(left, left / spread if spread else None, len(kept), words)
        for key, left in zip(kept, model.residuals, strict=True)
    }
    classes = {effect: tuple(dict.fromkeys(names[at] for at in _in_order([effects[effect][key] for key in kept])))
               for effect, names in joined.items()}
    numbers = Counter((effect, name) for effect, names in joined.items() for name in names)
    return Comparison({key: against[key] for key in values}, model, words, classes, numbers)


def join_small(levels: Sequence[Level]) -> list[str]:
    """The class of each record after classes under 10 have joined the smaller of their neighbours in the same block."""
    counts = Counter(levels)
    names: dict[Level, str] = {}
    for block in dict.fromkeys(level.block for level in levels):
        for group in _groups([level for level in sorted(counts) if level.block == block], counts):
            names |= dict.fromkeys(group, AND.join(level.name for level in group))
    return [names[level] for level in levels]


def _groups(levels: Iterable[Level], counts: Mapping[Level, int]) -> list[list[Level]]:
    groups = [[level] for level in levels]

    def size(at: int) -> int:
        return sum(counts[level] for level in groups[at])

    while len(groups) > 1 and size(smallest := min(range(len(groups)), key=size)) < FEW:
        beside = min((at for at in (smallest - 1, smallest + 1) if 0 <= at < len(groups)), key=size)
        first = min(smallest, beside)
        groups[first : first + 2] = [groups[first] + groups[first + 1]]
    return groups


def _in_small_blocks(
    values: Mapping[Key, float], effects: Mapping[str, Mapping[Key, Level]],
) -> dict[Key, tuple[int, str]]:
    """Records whose block holds under 10 in an effect of several blocks, with its number and name."""
    found: dict[Key, tuple[int, str]] = {}
    for levels in effects.values():
        counts = Counter(levels[key].block for key in values)
        if len(counts) > 1:
            found |= {key: (counts[block], block) for key in values if counts[block := levels[key].block] < FEW}
    return found


def by_number(names: Mapping[Key, str]) -> dict[Key, Level]:
    """Levels without an order of their own, such as groups: small ones stand beside one another."""
    counts = Counter(names.values())
    return {key: Level("", -counts[name], name) for key, name in names.items()}


def _in_order(levels: Sequence[Level]) -> list[int]:
    return sorted(range(len(levels)), key=lambda at: levels[at])


def counted(number: int, noun: str) -> str:
    """A number of ewes or lambs in words."""
    return so_many(number, noun.removesuffix("s"))


def listed(words: Iterable[str]) -> str:
    """Words set out as in a sentence."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
