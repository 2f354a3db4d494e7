"""Her last three years, one line each: this season's from the records, the earlier ones as her row on Ewes has them."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from template_builder.layout.choices import OnOff, Weighed, When
from template_builder.layout.policy import EVIDENCE_BY_ID, SCANNING
from template_builder.layout.sheets.ewes import YEARS
from workbook.results.advice.decisions import Decision
from workbook.results.advice.poor import poor_lambing
from workbook.results.scores.litter_weight import reared
from workbook.results.scores.rearing import rearing
from workbook.season.families import Ewe
from workbook.season.groups import Groups
from workbook.season.season import Season

MOST_YEARS = len(YEARS)


class HerSeason(NamedTuple):
    """What one season adds to a ewe's history. `fault` and `poor` are 1, 0, or None where nothing bears on it; `born` and
    `reared` are None where she did not lamb."""

    lambed: bool
    born: int | None
    reared: int | None
    fault: int | None
    poor: int | None
    line: str


def last_years(season: Season, decided: Mapping[str, Decision]) -> Mapping[str, tuple[str, ...]]:
    """The last three years of every ewe there is a decision on, by ewe key."""
    return {key: her_last_years(season, season.flock.ewes[key], decision) for key, decision in decided.items()}


def her_last_years(season: Season, ewe: Ewe, decision: Decision | None) -> tuple[str, ...]:
    """Up to three lines, the latest year first. This season has none while nothing is recorded about her."""
    now = her_season(season, ewe, decision).line
    return (*([now] if now else []), *_written(ewe))[:MOST_YEARS]


def earlier_years(ewe: Ewe) -> tuple[str, ...]:
    """What her row on Ewes says of earlier years, a line each, the latest first; with this season three at the most."""
    return _written(ewe)[:MOST_YEARS - 1]


def _written(ewe: Ewe) -> tuple[str, ...]:
    return tuple(words for column in YEARS if ewe.record and (words := ewe.record.text(column)))


def her_season(season: Season, ewe: Ewe, decision: Decision | None) -> HerSeason:
    """This season of hers; `decision` says what was found against her, None where she is gone."""
    delivered = ewe.delivered
    born = len(ewe.born) if delivered else None
    kept = len(reared(ewe, Groups.of(season), Weighed.WEANING)) if delivered else None
    poor = poor_lambing(season, ewe).poor
    said = "; ".join(_said(season, ewe, decision, kept))
    return HerSeason(delivered, born, kept, _fault(season, decision), None if poor is None else int(poor),
                     f"{season.year}: {said}" if said else "")


def _fault(season: Season, decision: Decision | None) -> int | None:
    """Whether any discretionary fault was found, one of the rules that ask for two of three."""
    if decision is None:
        return None
    rules = [placed.rule for placed in season.policy.rules
             if placed.rule.when is When.TWO_OF_THREE and placed.rule.on is OnOff.ON]
    known = [rule.met_by(value) for rule in rules if (value := decision.evidence[rule.evidence]) is not None]
    return int(any(known)) if known else None


def _said(season: Season, ewe: Ewe, decision: Decision | None, kept: int | None) -> Iterator[str]:
    """What happened, in the order it did, and what was found against her."""
    if ewe.scanned is not None:
        yield f"scanned {ewe.scanned}" if ewe.scanned else "scanned empty"
    if ewe.aborted:
        yield "aborted"
    elif ewe.delivered:
        weaned = decision is None or not decision.provisional
        yield f"{len(ewe.born)} born, {kept} reared" if weaned else f"{len(ewe.born)} born, {kept} with her so far"
    if decision is not None:
        yield from (plain(reason.title) for reason in decision.reasons if _tells_more(season, reason.rule))
    against = rearing(season).against(ewe.key)
    if against is not None and against.deviation is not None:
        kg = round(against.deviation, 1)
        yield "litter as like ewes" if not kg else f"litter {abs(kg):g} kg {'above' if kg > 0 else 'under'} like ewes"


def _tells_more(season: Season, id: str) -> bool:
    """Whether a reason says more than scan and lambing do, of this season alone."""
    rule = next(placed.rule for placed in season.policy.rules if placed.rule.id == id)
    return rule.evidence not in ("aborted", "poor_lambings") and (
        EVIDENCE_BY_ID[rule.evidence].checked != SCANNING or rule.evidence == "never_lambed")


def plain(title: str) -> str:
    """The title of a rule inside a sentence."""
    return title[0].lower() + title[1:]


