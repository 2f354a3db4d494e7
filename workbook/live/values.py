"""The value of every live cell for the rows of a plan, so that the workbook shows them before it is reckoned anew."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from template_builder.build import Plan
from template_builder.columns import Row
from template_builder.live.columns import LiveRow, LiveValues
from template_builder.live.write import CELLS
from workbook.live import links, pages, progress
from workbook.live.ewes import Others, ewes
from workbook.live.lambs import lambs
from workbook.live.rows import rows_as_written


def with_values(plan: Plan, moment: datetime) -> Plan:
    """The plan with the values its formulas have at this moment, or at "as of" where Season has it."""
    return replace(plan, live=live_values(plan.rows, moment))


def live_values(rows: Mapping[str, Sequence[Row]], moment: datetime) -> LiveValues:
    """Values by block, row and column, for the rows of every entry sheet as they stand in the cells."""
    written = rows_as_written(rows, moment)
    checks, treatments = links.checks(written), links.treatments(written)
    groups = links.groups(written, treatments)
    ends = [int(one["all_ewes"]) for one in treatments if one["all_ewes"] != ""]
    unknown = sum(int(one["all_ewes_unknown"]) for one in treatments)
    others = Others(_by_ewe(checks), _by_ewe(treatments), groups, max(ends, default=0), unknown)
    of_ewes = ewes(written, others)
    blocks = {
        "groups": groups, "lambing": links.lambing(written), "checks": checks, "treatments": treatments, "ewes": of_ewes,
        "lambs": lambs(written, of_ewes),
    }
    return blocks | {
        "watch": pages.watch(written, of_ewes), "status": pages.status(written, of_ewes), "room": pages.room(written, of_ewes),
        "spare": pages.spare(written, blocks["lambs"]), "by_size": progress.by_size(of_ewes), "by_day": progress.by_day(of_ewes),
        CELLS: [progress.cells(written, blocks)],
    }


def _by_ewe(rows: Sequence[LiveRow]) -> dict[int, list[LiveRow]]:
    found: dict[int, list[LiveRow]] = defaultdict(list)
    for row in rows:
        if int(row["ewe"]) > 0:
            found[int(row["ewe"])].append(row)
    return dict(found)
