"""A flock in which every selection rule has a ewe that meets it and one just inside its limit, as one season."""

from functools import cache

from seasons import AS_OF, season
from test_decisions import CASES

from template_builder.layout.columns import Row, Value
from workbook.reading.season_file import Reading
from workbook.results.pipeline import Result, analyse


@cache
def every_rule() -> Result:
    """The cases of all rules side by side, each ewe under a number of her own."""
    rows: dict[str, list[Row]] = {}
    cases = [which for case in CASES.values() for which in (case.acts, case.quiet)]
    for number, case in enumerate(cases, start=1):
        for sheet, own in case.items():
            if sheet not in ("policy", "season"):
                rows.setdefault(sheet, []).extend({id: _of(value, number) for id, value in row.items()} for row in own)
    return analyse(Reading(season(AS_OF, **rows), ()))


def _of(value: Value, number: int) -> Value:
    return {"A": f"{number:04}", "B": f"{number + 5000}"}.get(value, value) if isinstance(value, str) else value
