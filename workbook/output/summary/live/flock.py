"""The flock of next year as formulas: who goes of each age, how many must come in, and the next ewes to go."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from template_builder.layout.choices import Verdict
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, place
from template_builder.live.evaluator.meaning import CellValue
from workbook.results.flock.ages_now import OfAge, lines_by_ewe
from workbook.results.flock.flock_plan import PICKED, WANTED, FlockPlan
from workbook.results.flock.steady import lambings
from workbook.results.flock.worth_keeping import Worth
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import PER_CENT

AGES, NEXT = "ages", "next"
MOST_NEXT = 15  # ewes named as the next to go
WANTED_NAME = "live_wanted"  # the cell where the meeting writes how many ewes it wants next year
PARTS = ("age", "mothering", "litters", "notes")
PART_TITLE = "For {part}"  # points, not years or litters
_GOES = f"OR({{final_code}}={place(Verdict.CULL)},{{final_code}}={place(Verdict.DRAFT)})"


def flock_columns() -> tuple[LiveColumn, ...]:
    """What the row of a ewe adds: the line of her age if she goes, her place among those worth keeping if she stays."""
    return (
        *(LiveColumn(id, "") for id in ("age_line", "worth_place", "worth", *(f"worth_{part}" for part in PARTS))),
        LiveColumn("going_age", f"IF({_GOES},{{age_line}},0)"),
        LiveColumn("next_place", f"IF({{final_code}}={place(Verdict.KEEP)},{{worth_place}},0)"),
    )


def ages_sheet(ages: int, first_column: int = 1) -> LiveSheet:
    """A line for each age; its values stand on Flock plan."""
    return LiveSheet(AGES, (
        LiveColumn("here", ""),
        LiveColumn("by_count", ""),  # in the first line: ewes known by counts only
        LiveColumn("going", "COUNTIF(live_decisions_going_age,{k})"),
        LiveColumn("staying", "{here}-{going}"),
    ), rows=ages, first_column=first_column)


def next_sheet(first_column: int = 1) -> LiveSheet:
    """The next ewes to go, blank where fewer stay."""
    at = "MATCH({key},live_decisions_next_place,0)"
    staying = "(ROWS(live_decisions_next_place)-COUNTIF(live_decisions_next_place,0))"
    first = "COUNTIF(live_decisions_next_place,0)"

    def taken(column: str) -> str:
        return f'IF({{key}}=0,"",INDEX(live_decisions_{column},{at}))'

    return LiveSheet(NEXT, (
        LiveColumn("key", f"IF({{k}}>{staying},0,SMALL(live_decisions_next_place,{first}+{{k}}))"),
        LiveColumn("name", taken("name")), LiveColumn("worth", taken("worth")),
        *(LiveColumn(part, taken(f"worth_{part}")) for part in PARTS),
    ), rows=MOST_NEXT, first_column=first_column)


STAYING = LiveCell("plan_staying", f"SUM(live_ages_staying)+INDEX(live_{AGES}_by_count,1)")
NEEDED = LiveCell("plan_needed", f"MAX(0,INDEX({WANTED_NAME},1)-{STAYING.name})")
OVER = LiveCell("plan_over", f"MAX(0,{STAYING.name}-INDEX({WANTED_NAME},1))")
PICK = LiveCell("plan_pick", f"-INT(-{NEEDED.name}*{PICKED}/{WANTED})")
GOING = LiveCell("plan_going", "SUM(live_ages_going)")
CELLS = (GOING, STAYING, NEEDED, OVER, PICK)
STEADY_LINE = "steady_line"
STEADY_WORDS = ("If every year were like this one, ", " of 100 ewes would have to be replaced each year for the flock to stay as "
                "large as it is (from {ewes} ewes of known age, by the decisions as they stand; the oldest age goes "
                "altogether{pooled}).")
POOLED = "; ages of few ewes are taken as alike"
NO_STEADY = "How many ewes a year must be replaced in the long run cannot be told: too few ages are known."


def steady_cells(ages: Sequence[OfAge]) -> tuple[LiveCell, ...]:
    """The share of ewes to be replaced each year, worked out as in `steady` over those that stay of each age; last the sentence.

    None where the ages say nothing whatever is decided.
    """
    over = lambings(ages)
    if over is None:
        return ()
    staying = [f"INDEX(live_{AGES}_staying,{line})" for line in over.lines]
    lines = {one.age: (stays, one.to_the_ram) for one, stays in zip(over.known, staying, strict=True)}
    young = sum(one.to_the_ram for one in over.known[:-1])
    found = [LiveCell("steady_young", "+".join(staying[:-1])), LiveCell("steady_alive_1", "1")]
    for number, age in enumerate(over.ages[:-1], start=1):
        stays, of = ("live_steady_young", young) if over.pooled else lines[age]
        found.append(LiveCell(f"steady_alive_{number + 1}", f"live_steady_alive_{number}*{stays}/{of}"))
    total = "+".join(f"live_steady_alive_{number}" for number in range(1, len(over.ages) + 1))
    before, after = STEADY_WORDS
    said = after.format(ewes=over.ewes, pooled=POOLED if over.pooled else "")
    return (*found, LiveCell("steady_rate", f"IF(live_steady_young=0,0,1/({total}))"), LiveCell(STEADY_LINE, (
        f'IF(live_steady_young=0,"{NO_STEADY}","{before}"&ROUND({PER_CENT}*live_steady_rate,0)&"{said}")')))


@dataclass(frozen=True)
class FlockNow:
    """What the flock plan is worked out from: the plan, what each ewe is worth keeping for, and the line of her age, by her key.

    `wanted` is what stands in the cell for ewes wanted next year.
    """

    plan: FlockPlan
    worth: Sequence[Worth]
    lines: Mapping[str, int]
    wanted: int

    @classmethod
    def of(cls, result: Result) -> "FlockNow":
        return cls(result.plan, result.worth, lines_by_ewe(result.season, result.plan.ages), result.plan.wanted)

    def of_ewes(self, ewes: Sequence[str]) -> dict[str, list[CellValue]]:
        """The values of the rows of ewes, given by key in the order of their rows, by column."""
        by_key = {one.ewe: (number, one) for number, one in enumerate(self.worth, start=1)}
        rows = [_row(*by_key[ewe], self.lines[ewe]) for ewe in ewes]
        return {id: [row[id] for row in rows] for id in rows[0]} if rows else {}

    def cells(self) -> dict[str, list[CellValue]]:
        """What formulas look at by name that stands elsewhere than in the row of a ewe."""
        here: list[CellValue] = [one.here for one in self.plan.ages]
        return {WANTED_NAME: [self.wanted], f"live_{AGES}_here": here,
                f"live_{AGES}_by_count": [self.plan.by_count, *[None] * (len(here) - 1)]}


def _row(number: int, worth: Worth, line: int) -> dict[str, CellValue]:
    parts = {f"worth_{part}": round(float(getattr(worth, part)), 1) for part in PARTS}
    return {"age_line": line, "worth_place": number, "worth": round(worth.points, 1), **parts}
