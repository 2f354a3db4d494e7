"""Values of Progress and of the single cells other formulas use."""

from collections.abc import Mapping, Sequence
from typing import Literal

from template_builder.alerts import END, NEXT_LOOK, NOW, SOON, TODAY
from template_builder.choices import Born, EweLeft, LambLeft, RearedBy
from template_builder.live.below import ALL_BELOW, BELOW, BELOW_ON
from template_builder.live.columns import LiveRow, LiveValue, place
from template_builder.live.ewes import raised_id
from template_builder.live.formulas import FIRST, NOT_MATCHED, URGENCY
from template_builder.live.progress import BEFORE_MIDDLE, DAYS, SIZES
from template_builder.live.settings_cells import LINKS, USED
from template_builder.live.watch import LISTED
from workbook.live.rows import Rows, minute

Blocks = Mapping[str, Sequence[LiveRow]]


def cells(rows: Rows, blocks: Blocks) -> LiveRow:
    """Every cell that stands alone, by id."""
    found: dict[str, LiveValue] = {id: rows.season.settings.number(id) for id in USED}
    treated = blocks["treatments"]
    found |= {
        "now": rows.now, "minute": minute(rows.when), "writes_looks": _looks_written(rows),
        "all_ewes_until": max((int(one["all_ewes"]) for one in treated if one["all_ewes"] != ""), default=0),
        "all_ewes_unknown": _count(treated, all_ewes_unknown=1), **_lost(blocks), **_ewes(blocks["ewes"]),
        **_lambs(blocks["ewes"], blocks["lambs"]),
        # Every row a workbook is built with is laid ready; only people write below.
        **dict.fromkeys((cell.id for cell in (ALL_BELOW, *BELOW, *BELOW_ON)), 0),
    }
    return found | {"first_shown": _first_shown(_lambed_days(blocks["ewes"])), "watch_head": _head(found)}


def _looks_written(rows: Rows) -> int:
    lambing = sum(row.filled(column) for row in rows.typed["lambing"] for column in ("next_day", "sides_next_day"))
    return lambing + sum(row.filled("belly") for row in rows.typed["lambs"])


def _count(rows: Sequence[LiveRow], **cells: LiveValue) -> int:
    return sum(all(row[id] == value for id, value in cells.items()) for row in rows)


def _lost(blocks: Blocks) -> Mapping[str, LiveValue]:
    """Rows that name a ewe Ewes does not have as written."""
    found = {}
    for link in LINKS:
        _, sheet, column = link.split("_")
        found[f"{sheet}_{column}"] = _count(blocks[sheet], **{column: NOT_MATCHED})
    total = sum(found.values()) + _count(blocks["lambs"], adrift=1)
    return {"lost": total} | {f"{start}_{id}": count for id, count in found.items() for start in ("lost", "lost_on")}


def _ewes(ewes: Sequence[LiveRow]) -> Mapping[str, LiveValue]:
    in_lamb = [ewe for ewe in ewes if isinstance(ewe["scanned"], int | float) and ewe["scanned"] > 0]
    worst = [int(ewe["worst"]) for ewe in ewes]
    return {
        "to_look_at": sum(ewe["key"] != "" for ewe in ewes), "left_for_later": sum(rank >= END * URGENCY for rank in worst),
        "ewes": _count(ewes, first=1), "gone": _count(ewes, first=1, gone=1),
        "ewes_died": _count(ewes, left_how=place(EweLeft.DIED)), "in_lamb": len(in_lamb),
        "in_lamb_lambed": _count(in_lamb, lambed=1), "in_lamb_aborted": _count(in_lamb, aborted=1),
        "to_lamb": _count(in_lamb, lambed=0, aborted=0, gone=0), "lambed": _count(ewes, lambed=1),
        "urgent_now": sum(NOW * URGENCY <= rank < TODAY * URGENCY for rank in worst),
        "urgent_today": sum(TODAY * URGENCY <= rank < SOON * URGENCY for rank in worst),
        "looks_due": sum(int(ewe[raised_id(NEXT_LOOK)]) > 0 for ewe in ewes),
        "unread": sum(ewe["key"] != "" and int(ewe["key"]) < FIRST for ewe in ewes),
    }


def _lambs(ewes: Sequence[LiveRow], lambs: Sequence[LiveRow]) -> Mapping[str, LiveValue]:
    unnamed, unnamed_dead = (sum(int(ewe[id]) for ewe in ewes) for id in ("unnamed", "unnamed_dead"))

    def born(*kinds: Born) -> int:
        return sum(_count(lambs, born=place(kind)) for kind in kinds)

    def left(how: LambLeft) -> int:
        return _count(lambs, alive=1, left_how=place(how))

    def here(how: RearedBy) -> int:
        return _count(lambs, here=1, how=place(how))

    return {
        "born_alive": _count(lambs, alive=1) + unnamed, "born_dead": born(Born.DEAD_FRESH, Born.DEAD_DECAYED) + unnamed_dead,
        "lost_early": born(Born.MUMMIFIED, Born.ABORTED), "died": left(LambLeft.DIED), "missing": left(LambLeft.MISSING),
        "sold": left(LambLeft.SOLD), "own_ewe": here(RearedBy.OWN_EWE) + unnamed, "foster_ewe": here(RearedBy.FOSTER_EWE),
        "pet": here(RearedBy.PET), "no_ewe": here(RearedBy.NO_EWE),
    }


def _head(found: LiveRow) -> str:
    many, later, lost = (int(found[id]) for id in ("to_look_at", "left_for_later", "lost"))
    cut = f", the first {LISTED} are listed." if many > LISTED else "."
    words = f"{many} {'ewe' if many == 1 else 'ewes'} to look at{cut}" if many else "Nothing to look at now."
    words += f" {later} left for the end of the season: see Ewe status." if later else ""
    words += f" {lost} {'row names' if lost == 1 else 'rows name'} no ewe on Ewes: see Progress." if lost else ""
    return words


def by_size(ewes: Sequence[LiveRow]) -> list[LiveRow]:
    """Ewes, and ewes lambed so far, by lambs scanned."""
    return [{"ewes": _count(ewes, size=size), "lambed": _count(ewes, lambed_size=size)} for _, size in SIZES]


def by_day(ewes: Sequence[LiveRow]) -> list[LiveRow]:
    """Ewes lambed each day from the first day shown on."""
    days = _lambed_days(ewes)
    first = _first_shown(days)
    if first == "":
        return [{"day": "", "lambed": ""}] * DAYS
    return [{"day": day, "lambed": days.count(day)} for day in range(first, first + DAYS)]


def _lambed_days(ewes: Sequence[LiveRow]) -> list[int]:
    return sorted(int(ewe["lambed_day"]) for ewe in ewes if ewe["lambed_day"] != "")


def _first_shown(days: Sequence[int]) -> int | Literal[""]:
    """The first of these days, which are in order, or one not too long before the middle one; blank where there is none."""
    return max(days[0], days[(len(days) - 1) // 2] - BEFORE_MIDDLE) if days else ""
