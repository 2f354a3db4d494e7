"""The figures of a season as next year's Season sheet holds them, to be compared with."""

from collections.abc import Iterator

from template_builder.layout.columns import Row
from template_builder.plan.spare import REARS
from workbook.results.advice.decisions import WEANED
from workbook.results.litters.gaps import SETTINGS, SIZES
from workbook.results.litters.known import enough
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW, PER_CENT


def as_last_season(result: Result) -> Iterator[Row]:
    """Rows of Season for last season's figures; only of a season followed to weaning, and of what rests on enough animals."""
    if result.stage != WEANED:
        return
    known = {figure.id: figure for figure in result.figures}
    for id, (_, setting) in SETTINGS.items():
        figure = known.get(id)
        if figure is not None and figure.value is not None and not figure.few and enough(figure):
            yield {"row_key": setting, "value": round(figure.value, 1)}
    table = next((table for table in result.losses if table.id == "litter_size"), None)
    for id, (_, least, most) in SIZES.items() if table else ():
        classes = [one.loss for one in table.classes if one.label.isdigit() and least <= int(one.label) <= most] if table else []
        lost, of = sum(one.numerator for one in classes), sum(one.denominator for one in classes)
        if of >= FEW:
            yield {"row_key": SETTINGS[id][1], "value": round(PER_CENT * lost / of, 1)}
    yield from _big_alive(result)


def _big_alive(result: Result) -> Iterator[Row]:
    """Of the lambs scanned in litters of more than a ewe can rear, how many in a hundred were born alive."""
    account = result.account
    big = [size for size in account.classes if size.isdigit() and int(size) > REARS]
    scanned, alive = (sum(account.lines[line][size] for size in big) for line in ("scanned", "born_alive"))
    if scanned >= FEW:
        yield {"row_key": "last_big_alive", "value": round(min(PER_CENT, PER_CENT * alive / scanned), 1)}
