"""Sixty invented farms for comparing: as numbers straight from what happened, or as workbooks built and filled in."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from random import Random
from unittest.mock import patch

from known_truth import lives
from known_truth.lives import EweLife, LambLife, flock
from known_truth.records import AS_OF, written

from template_builder.build import Plan, build
from template_builder.layout.choices import HowRecorded, Kept
from template_builder.layout.columns import Row
from template_builder.live_values import with_values
from workbook.comparing.farm import Farm, Number, Recorded, Where
from workbook.comparing.measures import MEASURES
from workbook.results.statistics.proportions import PER_CENT, effect_of_clusters

FARMS, EWES, TIMES = 60, (60, 260), 3.0
PLANTED = "Farm 17"
UNKNOWN = Number(None, None, None, "", Recorded.LAMB, why="not recorded")
Count = tuple[int, int]


def farm_lives(number: int) -> tuple[str, list[EweLife]]:
    """What happened on a farm. All lose alike but for one, on which three times as many live-born lambs are lost."""
    dice, name = Random(f"farm {number}"), f"Farm {number}"
    times = TIMES if name == PLANTED else 1.0
    with patch.dict(lives.LOST, {size: min(0.9, chance * times) for size, chance in lives.LOST.items()}):
        return name, flock(dice, dice.randrange(*EWES))


def numbers_of(ewes: Sequence[EweLife]) -> dict[str, Number]:
    """The losses of a flock straight from its lives; other figures are not known."""
    found = dict.fromkeys((measure.id for measure in MEASURES), UNKNOWN)
    lambed = [ewe for ewe in ewes if ewe.has_lambed]
    found["stillbirth_pct"] = _number((sum(not lamb.alive for lamb in ewe.lambs), len(ewe.lambs)) for ewe in lambed)
    found["loss_live_born_pct"] = _number((_lost(ewe.live), len(ewe.live)) for ewe in lambed)
    scanned = [ewe for ewe in ewes if ewe.scanned is not None]
    found["empty_pct"] = _number((int(ewe.scanned == 0), 1) for ewe in scanned)
    for id, size in (("loss_singles", 1), ("loss_twins", 2), ("loss_triplets", 3)):
        found[id] = _number((_lost(ewe.live), len(ewe.live)) for ewe in lambed if len(ewe.lambs) == size)
    return found


def _lost(lambs: Sequence[LambLife]) -> int:
    return sum(bool(lamb.lost) for lamb in lambs)


def _number(clusters: Iterator[Count]) -> Number:
    litters = [one for one in clusters if one[1]]
    lost, of = sum(one for one, _ in litters), sum(of for _, of in litters)
    if of < 10:
        return Number(lost, of, None, "%", Recorded.LAMB, why=f"too few to say: {of}")
    return Number(lost, of, PER_CENT * lost / of, "%", Recorded.LAMB, effect_of_clusters(litters))


def farm(name: str, numbers: Mapping[str, Number], where: Where = Where.INDOORS, year: int = 2026) -> Farm:
    """A farm with these numbers; figures left out are not known."""
    whole = {**dict.fromkeys((measure.id for measure in MEASURES), UNKNOWN), **numbers}
    return Farm(f"{name}.xlsx", name, year, "weaned", "2026-06-20", 100, Recorded.LAMB, where, whole, print=name)


def as_numbers(farms: int = FARMS) -> list[Farm]:
    return [farm(name, numbers_of(ewes)) for name, ewes in map(farm_lives, range(farms))]


def write_workbook(folder: Path, number: int) -> Path:
    """The season workbook of a farm, built, and filled in as farms do: not all of it."""
    name, ewes = farm_lives(number)
    season = written(Random(f"records {number}"), ewes)
    rows: dict[str, list[Row]] = {sheet: [dict(row.values) for row in season.rows(sheet)] for sheet in season.records}
    rows["groups"] = [{**row, "kept": Kept.INDOORS, "how_recorded": HowRecorded.EACH_LAMB} for row in rows["groups"]]
    rows["season"] = [{"row_key": "flock", "value": name}, {"row_key": "year", "value": 2026},
                      {"row_key": "as_of", "value": AS_OF}, {"row_key": "target_loss", "value": 15},
                      {"row_key": "last_loss", "value": 18}]
    path = folder / f"{name.replace(' ', '-')}-season.xlsx"
    build(path, with_values(Plan(f"{name} 2026", rows), AS_OF))
    return path
