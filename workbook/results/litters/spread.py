"""The lambing forecast of a season as recorded: from the ewes as scanned, and for those still to lamb at its moment."""

from collections.abc import Iterator

from template_builder.forecast.lambing_days import ExpectedEwe, Spread
from template_builder.forecast.per_day import Forecast, forecast
from template_builder.layout.settings import SETTING
from workbook.season.families import Ewe
from workbook.season.mating import group_of, groups
from workbook.season.season import Season


def forecast_of(season: Season) -> Forecast:
    """The forecast as it stood at scanning, to hold the lambings against."""
    return forecast((known for _, known in _ewes(season)), _spread(season))


def forecast_to_come(season: Season) -> Forecast:
    """The forecast at the season's moment: ewes that lambed on their day, all others from now on.

    Ewes known to have lambed on a day not written are not in it.
    """
    dated = (known for ewe, known in _ewes(season) if known.lambed_on or not ewe.lambed)
    return forecast(dated, _spread(season), season.as_of.date())


def _spread(season: Season) -> Spread:
    return Spread.of({id: season.settings.value(id) for id in SETTING})


def _ewes(season: Season) -> Iterator[tuple[Ewe, ExpectedEwe]]:
    """The ewes on Ewes, without those that aborted, died or left before they lambed."""
    named = groups(season)
    for ewe in season.flock.ewes.values():
        if ewe.record is None or not ewe.lambed and (ewe.gone or ewe.aborted):
            continue
        group = group_of(ewe, named)
        yield ewe, ExpectedEwe(
            mated_on=ewe.record.day("mated_on"),
            ram_in=group.day("ram_in") if group else None,
            ram_out=group.day("ram_out") if group else None,
            due=ewe.due,
            scanned=ewe.scanned,
            lambed_on=ewe.lambed_on if ewe.lambed else None,
        )
