"""Figures of weights at weaning. Lambs and litters not weighed stand at the mean of their class."""

from collections.abc import Mapping
from dataclasses import replace

from template_builder.layout.choices import Weighed
from workbook.results.litters.ewe_facts import mating_weight, reared
from workbook.results.litters.ewes_in import EwesIn
from workbook.results.litters.figure import Denominator, Figure, Numerator, per
from workbook.results.litters.known import by_class, lamb_class, standardised, weaning_kg
from workbook.results.litters.shortages import short_in
from workbook.results.litters.to_ram import WORDS
from workbook.results.statistics.proportions import FEW
from workbook.season.season import Season

INCOMPLETE = "(a litter not weighed in full is taken at the mean of litters of as many lambs)"


def weight_figures(
    season: Season, ewes_in: EwesIn, per_ewe: Denominator, litter_weights: Mapping[str, float],
) -> list[Figure]:
    in_ram = ewes_in.holds_mother if per_ewe.words == WORDS else lambda lamb: True
    lambs = [lamb for lamb in reared(season) if in_ram(lamb) and (lamb.left_how is None or weaning_kg(lamb) is not None)]
    weighed, others = by_class(lambs, lamb_class(season.flock), weaning_kg)
    there = sum(map(len, weighed.values()))
    missed = max(0, len(others) - short_in(season, ewes_in.went.stated)) / len(others) if others else 0
    kilos = sum(map(sum, weighed.values())) + missed * standardised(weighed, others)
    words = "Kilograms of lambs weaned (a lamb that was not weighed is taken at the mean of its sex and rearing type)"
    rows = tuple(row.at("kg") for lamb in lambs if weaning_kg(lamb) is not None and (row := lamb.weighing(Weighed.WEANING)))
    ewes = season.flock.ewes
    mothers = [ewe for ewe in ewes.values() if ewe.key in litter_weights or ewe.reared_together] if litter_weights else []
    complete, incomplete = by_class(mothers, lambda ewe: len(ewe.reared_together), lambda ewe: litter_weights.get(ewe.key))
    mated = {ewe.key: kg for ewe in mothers if (kg := mating_weight(ewe)) is not None}
    known = [litter_weights[key] for key in mated if key in litter_weights]
    not_known = [len(ewes[key].reared_together) for key in mated if key not in litter_weights]
    litters = Numerator(
        sum(litter_weights.values()) + standardised(complete, incomplete),
        f"Kilograms of lambs weaned, adjusted for age {INCOMPLETE}")
    of_mated = Numerator(
        sum(known) + standardised(complete, not_known),
        f"Kilograms weaned, adjusted for age, by ewes with a mating weight {INCOMPLETE}")
    return [
        replace(per("kg_weaned_per_ewe", "Weaned per ewe", Numerator(kilos if there else None, words, rows), per_ewe,
                    "kg per ewe", scale=1), few=there < FEW),
        replace(per("litter_weight", "Litter weight weaned", litters, Denominator(len(mothers), "ewes that reared a litter"),
                    "kg per ewe", scale=1), few=len(litter_weights) < FEW),
        replace(per("ewe_efficiency", "Ewe efficiency", of_mated,
                    Denominator(sum(mated.values()), "kg of the mating weights of those ewes")),
                few=len(known) < FEW),
    ]
