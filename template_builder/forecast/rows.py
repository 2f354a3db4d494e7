"""The ewes and settings of a forecast, from the rows a season workbook is built from."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import repeat

from template_builder.forecast.lambing_days import ExpectedEwe, Spread
from template_builder.forecast.per_day import Forecast, forecast
from template_builder.layout.columns import Row, Value

Rows = Mapping[str, Sequence[Row]]


def forecast_from(rows: Rows) -> Forecast:
    """The forecast for a whole season as it stands at scanning, from rows by sheet id; the pens there are play no part."""
    values = {str(row.get("row_key")): row.get("value") for row in rows.get("season", ())}
    values.pop("pens", None)
    ewes = expected_ewes(rows) if rows.get("ewes") else tallied_ewes(rows)
    return forecast(ewes, Spread.of(values))


def tallied_ewes(rows: Rows) -> Iterator[ExpectedEwe]:
    """The ewes of groups known by their tallies alone: as many as were scanned with each number, all with the group's ram."""
    for row in rows.get("groups", ()):
        ram_in, ram_out = _day(row.get("ram_in")), _day(row.get("ram_out"))
        for scanned in range(5):
            ewes = row.get(f"tally_{scanned}")
            if isinstance(ewes, int) and ewes > 0:
                yield from repeat(ExpectedEwe(ram_in=ram_in, ram_out=ram_out, scanned=scanned), ewes)


def expected_ewes(rows: Rows) -> Iterator[ExpectedEwe]:
    """The ewes of Ewes, each with the ram dates of her group, without those that left before they lambed."""
    groups = {name: row for row in reversed(rows.get("groups", ())) if (name := _name(row.get("group")))}
    lambed = {_name(row.get("ewe")): _day(row.get("lambed_on")) for row in reversed(rows.get("lambing", ()))}
    for row in rows.get("ewes", ()):
        lambed_on = lambed.get(_name(row.get("ewe")))
        if not lambed_on and (row.get("left_on") or row.get("left_how")):
            continue
        group, scanned = groups.get(_name(row.get("group")), {}), row.get("scanned")
        yield ExpectedEwe(
            _day(row.get("mated_on")), _day(group.get("ram_in")), _day(group.get("ram_out")), _day(row.get("due")),
            scanned if isinstance(scanned, int) else None, lambed_on,
        )


def lambed_each_day(rows: Rows) -> Counter[date]:
    """How many rows of Lambing have each day as the day she lambed."""
    return Counter(day for row in rows.get("lambing", ()) if (day := _day(row.get("lambed_on"))))


def _day(value: Value) -> date | None:
    return value.date() if isinstance(value, datetime) else value if isinstance(value, date) else None


def _name(value: Value) -> str:
    return str(value or "").strip().casefold()
