"""Ewes and lambs that need another look, most urgent first, each with what the trade usually does next."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from template_builder.layout.alerts import END, Alert
from workbook.results.advice.lamb_signs import lamb_signs
from workbook.results.advice.lambing_signs import lambing_signs
from workbook.results.advice.signs import Sign, Watch
from workbook.results.advice.trouble_signs import orphan_signs, trouble_signs
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.season import Season


@dataclass(frozen=True)
class ProblemEwe:
    """Why a ewe needs a look. `urgency` 1 is now, 2 today, 3 soon, 4 at the end of the season."""

    ewe: str
    name: str
    alert: str
    urgency: int
    why: str
    since: datetime | None
    next_step: str
    call_vet: bool
    pen: str
    cells: tuple[CellRef, ...]


def problem_ewes(season: Season, when: datetime) -> tuple[ProblemEwe, ...]:
    """Everything that needs a look at this moment, most urgent first, then longest since, then by ewe.

    A ewe with two troubles stands twice. What a later look has answered, and what was so before her lambs were weaned, is no
    trouble any more. Ewes that have died or left appear only for lambs still booked on them.
    """
    watch = Watch.at(season, when)
    found = [_problem(ewe, sign, when) for ewe in season.flock.ewes.values() for sign in signs(watch, ewe)]
    return tuple(sorted(found, key=lambda one: (one.urgency, one.since or datetime.max, one.name, one.alert)))


def signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    """All open signs of trouble at one ewe; where she is gone, only of lambs still booked on her."""
    yield from (sign for sign in _all_signs(watch, ewe) if watch.is_open(ewe, sign))


def _all_signs(watch: Watch, ewe: Ewe) -> Iterator[Sign]:
    if ewe.gone:
        yield from orphan_signs(watch, ewe)
        return
    yield from lambing_signs(watch, ewe)
    yield from trouble_signs(watch, ewe)
    yield from lamb_signs(watch, ewe)


def _problem(ewe: Ewe, sign: Sign, when: datetime) -> ProblemEwe:
    alert = sign.alert
    pen = (ewe.lambing.text("pen") if ewe.lambing else None) or ""
    return ProblemEwe(
        ewe.key, ewe.name, alert.title, urgency(alert, sign.since, when), sign.why, sign.since, alert.next_step,
        alert.call_vet, pen, sign.cells,
    )


def urgency(alert: Alert, since: datetime | None, when: datetime) -> int:
    """How urgent an alert is now. What was seen long ago, with nothing written since, is left for the season's end."""
    faded = alert.fades is not None and since is not None and when - since > alert.fades
    return END if faded else alert.urgency
