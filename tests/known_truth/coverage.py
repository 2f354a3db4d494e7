"""How far what the program says of many flocks lies from the truth, and how often its 95 % intervals hold it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import sqrt
from random import Random
from statistics import fmean, stdev
from typing import NamedTuple

from known_truth.lives import OWN, THIS_YEAR, EweLife, flock
from known_truth.records import NO_DAY, written
from known_truth.truths import MODEL, values
from workbook.results.litters.account import litter_account
from workbook.results.litters.contrasts import contrasts
from workbook.results.litters.differences import loss_differences
from workbook.results.litters.figures import figures, stage_of
from workbook.results.litters.life_table import life_table
from workbook.results.scores.rearing import rearing
from workbook.results.statistics.proportions import PER_CENT, Z95
from workbook.season.season import Season

POPULATION = 400_000  # ewes: the chances behind every flock, to a twentieth of a point
NAMED = ("ram", "group")  # these make no difference to losses
ALIKE = ("risk ratio:ram:R1", "risk ratio:group:Hill")


class Told(NamedTuple):
    """A figure as the program gives it; without an interval `low` and `high` are None. `least` and `most` bound gaps."""

    value: float
    low: float | None = None
    high: float | None = None
    least: float | None = None
    most: float | None = None


@dataclass
class Tally:
    """One figure over all flocks that show it."""

    off: list[float] = field(default_factory=list)
    held: list[bool] = field(default_factory=list)
    within: list[bool] = field(default_factory=list)

    @property
    def bias(self) -> float:
        return fmean(self.off)

    @property
    def unsure(self) -> float:
        """Standard error of the bias."""
        return stdev(self.off) / sqrt(len(self.off)) if len(self.off) > 1 else 0.0

    @property
    def coverage(self) -> float | None:
        return fmean(self.held) if self.held else None


def truth(population: int = POPULATION) -> dict[str, float]:
    return {**values(flock(Random(0), population)), **dict.fromkeys(ALIKE, 1.0)}


def tallied(seeds: Iterable[int], ewes: int, true: Mapping[str, float], no_day: float = NO_DAY) -> dict[str, Tally]:
    """Every figure of a flock for each seed, against the truth. Gaps in a flock's records are held against that flock's own."""
    found: dict[str, Tally] = defaultdict(Tally)
    for seed in seeds:
        lives = flock(Random(f"flock {seed}"), ewes)
        season, own = written(Random(f"records {seed}"), lives, no_day=no_day), values(lives)
        for id, told in said(season).items():
            if id in true:
                _held_against(found[id], told, true[id], own.get(id))
        for id in NAMED:
            difference = loss_differences(season).get(id)
            found[f"named:{id}"].off.append(float(bool(difference and difference.heaviest)))
    return found


def _held_against(tally: Tally, told: Told, true: float, own: float | None) -> None:
    tally.off.append(told.value - true)
    if told.low is not None and told.high is not None:
        tally.held.append(told.low <= true <= told.high)
    if told.least is not None and told.most is not None and own is not None:
        tally.within.append(told.least - 1e-9 <= own <= told.most + 1e-9)


def said(season: Season) -> dict[str, Told]:
    """All that the program shows of a season: not what rests on so few that it says "few"."""
    reared, account = rearing(season), litter_account(season)
    litters = {key: weight.kg for key, weight in reared.litters.items() if weight.kg is not None}
    found = {
        figure.id: Told(figure.value, figure.low, figure.high, figure.least, figure.most)
        for figure in figures(season, account, stage_of(season, account), litters) if figure.value is not None and not figure.few
    }
    for stage in life_table(season):
        for kind, share in (("stage", stage.of_at_risk), ("of live-born", stage.of_live_born)):
            if share is not None and share.value is not None and share.low is not None and share.high is not None:
                found[f"{kind}:{stage.label}"] = Told(*(PER_CENT * part for part in (share.value, share.low, share.high)))
        if stage.survived is not None:
            found[f"survived:{stage.label}"] = Told(PER_CENT * stage.survived)
    for contrast in contrasts(season):
        if contrast.risk_ratio.low is not None:
            found[f"risk ratio:{contrast.id}"] = Told(*contrast.risk_ratio)  # type: ignore[arg-type]  # with limits it has a value
    model = reared.lambs.comparison.model
    for id, classes in MODEL.items():
        if model is not None and (told := model.difference(*classes)) is not None:
            found[id] = Told(told.value, told.value - Z95 * told.error, told.value + Z95 * told.error)
    return found


def expected_and_next(seed: int, ewes: int) -> list[tuple[float, float]]:
    """Of each ewe weaned this year with seasons behind her: what is expected of her next litter, and how that one stands."""
    dice = Random(f"next {seed}")
    lives = flock(dice, ewes)
    past = {ewe.number: _seasons(dice, ewe) for ewe in lives if not ewe.first}
    across = rearing(written(dice, lives, past)).across
    return [(told.kg, _litter(dice, ewe)) for ewe in lives if (told := across.get(f"e{ewe.number}"))]


def _seasons(dice: Random, ewe: EweLife) -> tuple[float, int]:
    number = dice.choice((1, 2, 3))
    return fmean(_litter(dice, ewe) for _ in range(number)), number


def _litter(dice: Random, ewe: EweLife) -> float:
    """Kilograms by which a litter of hers stands above like ewes: hers and the season's for each lamb, and each lamb's own."""
    lambs, season = dice.choices((1, 2), (0.35, 0.65))[0], dice.gauss(0, THIS_YEAR)
    return sum(ewe.hers + season + dice.gauss(0, OWN) for _ in range(lambs))


def slope(pairs: Iterable[tuple[float, float]]) -> float:
    """How much of what was expected came: 1 is right, more is too little expected."""
    points = list(pairs)
    middle, came = fmean(x for x, _ in points), fmean(y for _, y in points)
    return sum((x - middle) * (y - came) for x, y in points) / sum((x - middle) ** 2 for x, _ in points)


def table(found: Mapping[str, Tally], true: Mapping[str, float]) -> str:
    """Every figure in a line: the truth, how far off in the mean with its standard error, and how often the interval holds."""
    lines = [f"{'figure':40} {'truth':>8} {'bias':>8} {'+-':>6} {'holds':>7} {'flocks':>6}  bounds of gaps hold"]
    for id, tally in found.items():
        holds = "" if tally.coverage is None else f"{tally.coverage:.1%}"
        within = f"{fmean(tally.within):.1%} of {len(tally.within)}" if tally.within else ""
        off = f"{true.get(id, 0.0):8.2f} {tally.bias:+8.3f} {tally.unsure:6.3f}"
        lines.append(f"{id:40} {off} {holds:>7} {len(tally.off):6}  {within}")
    return "\n".join(line.rstrip() for line in lines)


__all__ = ["Tally", "expected_and_next", "said", "slope", "table", "tallied", "truth"]
