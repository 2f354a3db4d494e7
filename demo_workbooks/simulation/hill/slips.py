"""The hill season with the slips that counting and Sunday typing bring."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from demo_workbooks.simulation.hill.farm import FAR, HIGH, MARKING, NEAR, WEANING, YEAR, chance
from demo_workbooks.simulation.hill.scenario import clean_season
from template_builder.layout.choices import Born, CameFrom, CheckOccasion, Stage
from template_builder.layout.columns import Row, Value

_FAR_TOO_MANY = 50  # lambs of the next farm in the pen
_TALLY_SLIP = 10  # ewes left out of a tally
_RISE = 14


@dataclass(frozen=True)
class HillSlip:
    """One slip: the cells written over one of the rows that suit (None clears one), or with `added` a row of its own."""

    what: str
    sheet: str
    cells: Callable[[Row], Row]
    suits: Callable[[Row], bool] = lambda row: True
    added: bool = False


def _put(**cells: Value) -> Callable[[Row], Row]:
    return lambda row: cells


def _more(column: str, by: int) -> Callable[[Row], Row]:
    def write(row: Row) -> Row:
        number = row[column]
        assert isinstance(number, int)
        return {column: number + by}

    return write


def _count(group: str, stage: Stage) -> Callable[[Row], bool]:
    return lambda row: row["group"] == group and row["stage"] is stage


def _lambed(row: Row) -> bool:
    return isinstance(row.get("lambed_on"), date) and "help" in row and row.get("scanned") == 1


def _last_year(row: Row) -> Row:
    day = row["lambed_on"]
    assert isinstance(day, date)
    return {"lambed_on": day.replace(year=YEAR - 1)}


SLIPS: tuple[HillSlip, ...] = (
    HillSlip("ewes left out of the tally", "groups", _more("tally_1", -_TALLY_SLIP), lambda row: row["group"] == HIGH.name),
    HillSlip("strays of the next farm counted in", "counts", _more("lambs", _FAR_TOO_MANY), _count(FAR.name, Stage.MARKING)),
    HillSlip("more at weaning than at marking", "counts", _more("lambs", _RISE), _count(HIGH.name, Stage.WEANING)),
    HillSlip("ewes of the next heft counted in", "counts", _more("ewes", _RISE), _count(NEAR.name, Stage.WEANING)),
    HillSlip("a count of all hefts, one by count", "counts", _put(date=WEANING, stage=Stage.WEANING, lambs=590), added=True),
    HillSlip("a count without its stage", "counts", _put(date=MARKING, group=HIGH.name, lambs=186), added=True),
    HillSlip("heft misspelt", "ewes", _put(group="Near Heff"), lambda row: row.get("scanned") == 1 and "left_on" not in row),
    HillSlip("last year's date", "lambing", _last_year, _lambed),
    HillSlip("a word where a number belongs", "lambing", _put(born_alive="multiple"), lambda row: row.get("scanned") == 2),
    HillSlip("two written for a single", "lambing", _put(born_alive=2, born_dead=0), _lambed),
    HillSlip("a lambing of a ewe nobody knows", "lambing", _put(ewe="9999", born_alive=1), added=True),
    HillSlip("a look at a ewe nobody knows", "ewe_check",
             _put(ewe="0000", date=WEANING, occasion=CheckOccasion.WEANING), added=True),
    HillSlip("condition off the scale", "ewe_check", _put(condition=25), lambda row: row.get("condition") == 2.5),
    HillSlip("lambs tagged at marking typed without a mother", "lambs",
             _put(tag="N501", born=Born.ALIVE, came_from=CameFrom.MOTHER_NOT_KNOWN), added=True),
    HillSlip("a lamb row without ewe or word", "lambs", _put(tag="N502", born=Born.ALIVE), added=True),
)


def messy_season() -> dict[str, list[Row]]:
    """The clean season with every slip made, each on a row of its own."""
    return with_slips(clean_season())


def with_slips(clean: Mapping[str, Sequence[Row]]) -> dict[str, list[Row]]:
    """The rows with every slip; those given are not changed."""
    sheets = {sheet: list(rows) for sheet, rows in clean.items()}
    touched: set[tuple[str, int]] = set()
    for slip in SLIPS:
        rows = sheets[slip.sheet]
        if slip.added:
            rows.append(slip.cells({}))
            continue
        fitting = [at for at, row in enumerate(rows) if (slip.sheet, at) not in touched and slip.suits(row)]
        at = chance("slip", slip.what).choice(fitting)
        touched.add((slip.sheet, at))
        rows[at] = {column: value for column, value in {**rows[at], **slip.cells(rows[at])}.items() if value is not None}
    return sheets
