"""Values of the pages people read: Watch list, Ewe status, Set on."""

from collections.abc import Mapping, Sequence

from template_builder import alerts
from template_builder.alerts import ALERTS, END, URGENCIES, Alert
from template_builder.choices import Choice
from template_builder.live.columns import LiveRow, LiveValue
from template_builder.live.ewes import raised_id
from template_builder.live.formulas import FIRST, MINUTES, NO_MINUTE, SINCE, URGENCY
from template_builder.live.lambs import SPARE_WHY
from template_builder.live.set_on import ROOM, SPARE
from template_builder.live.watch import EWE_STATUS, LISTED, NOT_KNOWN, UNREAD, WATCH
from workbook.live.rows import Rows, number, text

_LABOUR = int(alerts.LABOUR_LAPSES.total_seconds()) // 60
_LOOK = int(alerts.NEXT_LOOK_LAPSES.total_seconds()) // 60


def ranked(rows: Sequence[LiveRow], key: str) -> list[int]:
    """The rows of a block that stand in a list, in its order."""
    return [number for _, number in sorted((int(row[key]), n) for n, row in enumerate(rows) if row[key] != "")]


def watch(rows: Rows, ewes: Sequence[LiveRow]) -> list[LiveRow]:
    """The Watch list, most urgent first."""
    listed = [_watched(rows, ewes[at], at + 1) for at in ranked(ewes, "key")[:LISTED]]
    blank = dict.fromkeys((column.id for column in WATCH.columns), "")
    return listed + [blank] * (LISTED - len(listed))


def _watched(rows: Rows, ewe: LiveRow, at: int) -> LiveRow:
    found: dict[str, LiveValue] = {"key": ewe["key"], "at": at, "ewe": ewe["name"], "pen": "", "since": "", "vet": ""}
    if int(ewe["key"]) < FIRST:
        unread = alerts.UNREADABLE
        return found | {
            "kind": 0, "urgency": URGENCIES[unread.urgency], "seen": unread.title, "step": unread.first_step,
        }
    worst = int(ewe["worst"])
    alert = next(alert for alert in ALERTS if ewe[raised_id(alert)] == worst)
    since = worst % SINCE
    raised = (alert for alert in ALERTS if 0 < int(ewe[raised_id(alert)]) < END * URGENCY)
    return found | {
        "kind": ALERTS.index(alert) + 1, "pen": _pen(rows, ewe), "urgency": URGENCIES[alert.urgency],
        "seen": "; ".join(_seen(rows, ewe, alert) for alert in raised), "since": "" if since == NO_MINUTE else since / MINUTES,
        "step": alert.first_step, "vet": "call your vet" if alert.call_vet else "",
    }


def _pen(rows: Rows, ewe: LiveRow) -> str:
    at = int(ewe["at"])
    return text(rows.typed["lambing"][at - 1], "pen") if at else ""


def _seen(rows: Rows, ewe: LiveRow, alert: Alert) -> str:
    details = {
        alerts.MISSING_LAMB: f"{ewe['lambs']} of {ewe['scanned']}",
        alerts.MORE_LAMBS: f"{ewe['lambs']} for {ewe['scanned']}",
        alerts.SIDE_DRY: f"{ewe['last_sides']} of 2 in milk",
        alerts.OVERDUE: f"days past her last day: {_days_over(rows, ewe)}",
    }
    return f"{alert.title} ({details[alert]})" if alert in details else alert.title


def _days_over(rows: Rows, ewe: LiveRow) -> int:
    return int(rows.now) - int(ewe["last_day"] or 0)


def status(rows: Rows, ewes: Sequence[LiveRow]) -> list[LiveRow]:
    """Where each ewe stands."""
    blank = dict.fromkeys((column.id for column in EWE_STATUS.columns), "")
    return [_status(rows, ewe) if ewe["name"] else blank for ewe in ewes]


def _status(rows: Rows, ewe: LiveRow) -> LiveRow:
    state = _state(ewe)
    now, due, scanned, lambs = int(rows.now), ewe["due"], ewe["scanned"], int(ewe["lambs"])
    to_lamb = state == "to lamb" and isinstance(due, int | float)
    compared = ewe["lambed"] and isinstance(scanned, int | float) and lambs
    return {
        "ewe": ewe["name"], "pen": _pen(rows, ewe), "state": state,
        "to_due": max(0, int(due) - now) if to_lamb else "", "over": _days_over(rows, ewe) if state == "overdue" else "",
        "scanned": scanned, "lambs": lambs or "", "unlike": lambs - int(scanned) if compared else "",
        **_hours(rows, ewe), "until": _until(now, ewe), "see_to": _see_to(ewe),
    }


def _state(ewe: LiveRow) -> str:
    scanned = ewe["scanned"]
    states = (
        ("written twice", not ewe["first"]), (UNREAD, ewe["bad"]), ("left", ewe["gone"]), ("lambed", ewe["lambed"]),
        ("aborted", ewe["aborted"]), ("overdue", ewe[raised_id(alerts.OVERDUE)]), ("scanned empty", scanned == 0),
    )
    return next((state for state, is_so in states if is_so), "to lamb")


def _hours(rows: Rows, ewe: LiveRow) -> Mapping[str, LiveValue]:
    since = int(ewe["since_waters"])
    unlambed = ewe["watched"] and not ewe["lambed"] and not ewe["aborted"] and ewe["waters_at"] != ""
    lambed = ewe["lambed_at"]
    unlooked = ewe["watched"] and isinstance(lambed, int | float) and ewe["alive_here"] and not ewe["looked"]
    due = unlooked and int(ewe["since_lambed"]) <= _LOOK
    wait = rows.season.settings.number("next_look") / 24
    return {
        "labour": since / 60 if unlambed and 0 <= since <= _LABOUR else "", "next_look": float(lambed) + wait if due else "",
    }


def _until(now: int, ewe: LiveRow) -> LiveValue:
    if ewe["until_unknown"]:
        return NOT_KNOWN
    return ewe["until"] if int(ewe["until"]) >= now else ""


def _see_to(ewe: LiveRow) -> str:
    if ewe["bad"]:
        return alerts.UNREADABLE.title
    return next((alert.title for alert in ALERTS if ewe["worst"] and ewe[raised_id(alert)] == ewe["worst"]), "")


def room(rows: Rows, ewes: Sequence[LiveRow]) -> list[LiveRow]:
    """Ewes that could take a lamb tonight."""
    listed: list[LiveRow] = [
        {
            "key": ewes[at]["room_key"], "at": at + 1, "ewe": ewes[at]["name"], "pen": _pen(rows, ewes[at]),
            "at_side": ewes[at]["at_side"], "room": ewes[at]["room"], "lambed": ewes[at]["lambed_at"],
            "hours": int(ewes[at]["since_lambed"]) / 60,
        }
        for at in ranked(ewes, "room_key")[:ROOM.rows]
    ]
    return listed + [dict.fromkeys((column.id for column in ROOM.columns), "")] * (ROOM.rows - len(listed))


def spare(rows: Rows, lambs: Sequence[LiveRow]) -> list[LiveRow]:
    """Lambs that could go to another ewe."""
    listed = [_spare(rows, lambs[at], at + 1) for at in ranked(lambs, "spare_key")[:SPARE.rows]]
    return listed + [dict.fromkeys((column.id for column in SPARE.columns), "")] * (SPARE.rows - len(listed))


def _spare(rows: Rows, lamb: LiveRow, at: int) -> LiveRow:
    record = rows.typed["lambs"][at - 1]
    number_of = number(record, "lamb_no")
    name = f"{lamb['name']}-{number_of}"
    if lamb["name"] == "" or not isinstance(number_of, int | float):
        name = text(record, "tag") or f"row {at + 3} of Lambs"
    sex = record.values.get("sex")
    kg = lamb["kg"]
    return {
        "key": lamb["spare_key"], "at": at, "spare": lamb["spare"], "lamb": name, "why": SPARE_WHY[int(lamb["spare"]) - 1],
        "hours": "" if lamb["age"] == "" else int(lamb["age"]) / 60, "kg": kg if isinstance(kg, int | float) else "",
        "sex": sex.label if isinstance(sex, Choice) else "" if text(record, "sex") == "?" else text(record, "sex"),
    }
