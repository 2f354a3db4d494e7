"""How likely a lamb is to be born dead or to be lost, by its birth weight and litter; and how heavy it is born.

The curve is a logit with a squared term: too light and too heavy are both dangerous.
"""

from math import exp
from random import Random

from template_builder.layout.choices import Sex
from template_builder.layout.settings import SETTING

# Mean birth weights: twins 81 %, triplets 66 % of a single of 5.5 kg (review in NZ J Agric Res 2019, by summary);
# four to six from memory.
_MEAN_KG = {1: 5.5, 2: 4.5, 3: 3.6, 4: 3.1, 5: 2.7, 6: 2.4}
_SPREAD = 0.13  # of the mean, from memory
_YOUNG_DAM_KG = -0.5  # from memory
_MALE = 1.04  # from memory

# Best birth weights: twins 93 %, triplets 78 % of singles (Hanrahan and Keady 2013, Proc BSAS p 275, by Eurosheep).
_BEST_KG = {1: 5.5, 2: 5.5 * 0.93, 3: 5.5 * 0.78}

# Levels set so that a season comes out near published rates: born dead 0.7 to 6 % (veterinary pathology review),
# 13.8 % of live-born lost to weaning in Griffiths and others 2019 and 11.2 % in USDA NAHMS 2011. Steepness: from memory.
_STEEPNESS = 14.0
_BORN_DEAD, _LOST = -4.35, -3.1
_LARGE_LITTER, _HARD_BIRTH, _YOUNG_DAM = 0.4, 1.2, 0.3

_NARROWED = 0.1  # kg: weights are drawn this far within what the Season sheet expects
_CLASSES = {1: "single", 2: "twin", 3: "triplet"}


def birth_weight(dice: Random, litter: int, born: int, sex: Sex, young_dam: bool) -> float:
    """A weight in kg for a lamb of a litter of which `born` came to term, ordinary for either number."""
    mean = _MEAN_KG[litter] + (_YOUNG_DAM_KG if young_dam else 0)
    kg = dice.gauss(mean, _SPREAD * mean) * (1 if sex is Sex.EWE else _MALE)
    kinds = [_CLASSES[min(count, 3)] for count in (litter, max(born, 1))]
    least = max(_limit(f"{kind}_least") for kind in kinds) + _NARROWED
    most = min(_limit(f"{kind}_most") for kind in kinds) - _NARROWED
    return round(min(most, max(least, kg)), 1)


def _limit(setting: str) -> float:
    limit = SETTING[setting].default
    assert isinstance(limit, float)
    return limit


def born_dead_risk(kg: float, litter: int, hard: bool) -> float:
    """Chance (0 to 1) that a lamb is born dead."""
    return _logistic(_BORN_DEAD + _by_weight(kg, litter) + _HARD_BIRTH * hard)


def loss_risk(kg: float, litter: int, hard: bool, young_dam: bool) -> float:
    """Chance (0 to 1) that a lamb born alive is lost before weaning."""
    return _logistic(_LOST + _by_weight(kg, litter) + _HARD_BIRTH / 2 * hard + _YOUNG_DAM * young_dam)


def _by_weight(kg: float, litter: int) -> float:
    best = _BEST_KG[min(litter, 3)]
    return float(_STEEPNESS * ((kg - best) / best) ** 2 + _LARGE_LITTER * (litter >= 3))


def _logistic(logit: float) -> float:
    return 1 / (1 + exp(-logit))
