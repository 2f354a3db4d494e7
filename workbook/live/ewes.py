"""Values of the hidden block of ewes: what the season says of each, and her alerts as numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from template_builder import alerts
from template_builder.alerts import ALERTS, END, Alert
from template_builder.choices import Born, EweLeft, NextDay, Prolapse, Teats, YesNo
from template_builder.layout import FIRST_ROW
from template_builder.live.columns import LiveRow, LiveValue
from template_builder.live.ewes import NOT_FOR_SETTING_ON, raised_id
from template_builder.live.formulas import DAY, EWE, FIRST, MINUTES, NO_MINUTE, PAIR, SINCE, UNREADABLE, URGENCY, rank
from template_builder.live.lambs import BOTH_SIDES, SET_ON_DAYS
from workbook.advice.lambing_signs import Watch, looked_at
from workbook.advice.problem_ewes import signs, urgency
from workbook.advice.signs import Sign, lambed_at
from workbook.advice.trouble_signs import at_her_side
from workbook.cells import Record
from workbook.flock import BORN, Ewe, Lamb, moment
from workbook.live.lamb_cells import bad_lamb
from workbook.live.lambs import since_when, what_is_wrong
from workbook.live.links import is_number
from workbook.live.rows import Rows, bad, code, minute, number, serial, text
from workbook.mating import last_possible_day

FRESHEST = (alerts.HOLLOW, alerts.NOT_SUCKING, alerts.REFUSED)  # of several lambs the last one counts
_NOBODY = Ewe("", "")
_KEYS = ("look", "teats", "milk", "mastitis", "sleepy", "prolapse")


@dataclass(frozen=True)
class Others:
    """Values of the blocks that a ewe's row draws on: her looks and treatments by her row number, groups by theirs."""

    checks: Mapping[int, Sequence[LiveRow]]
    treatments: Mapping[int, Sequence[LiveRow]]
    groups: Sequence[LiveRow]
    all_ewes_until: int
    all_ewes_unknown: int


def ewes(rows: Rows, others: Others) -> list[LiveRow]:
    """One row for each row of Ewes; those without a number, or with one that stands above already, are blank."""
    watch = Watch.at(rows.season, rows.when)
    return [
        _Ewe(rows, others, watch, number, record).values() for number, record in enumerate(rows.typed["ewes"], start=1)
    ]


class _Ewe:
    """One ewe being put into numbers."""

    def __init__(self, rows: Rows, others: Others, watch: Watch, row: int, record: Record) -> None:
        self.rows, self.others, self.watch, self.row = rows, others, watch, row
        name = text(record, "ewe")
        self.name = "" if name == "?" else name
        self.first = bool(self.name) and rows.ewe(self.name) == row
        self.record = record if self.first else None
        self.ewe = rows.season.flock.ewes[rows.season.flock.names.match(self.name).key] if self.first else _NOBODY
        self.at = self.ewe.lambing.row - FIRST_ROW + 1 if self.ewe.lambing else 0
        self.lambing = rows.typed["lambing"][self.at - 1] if self.at else None
        group = text(self.record, "group")
        self.group = max(0, rows.group(group)) if group != "?" else rows.groups.get(group, 0)
        self.checks = others.checks.get(row, ()) if self.first else ()
        self.treated = others.treatments.get(row, ()) if self.first else ()

    def values(self) -> LiveRow:
        found: dict[str, LiveValue] = {
            "name": self.name, "first": int(self.first), "at": self.at, "group": self.group,
            **self._numbers(), **self._codes(), **self._lambs(), **self._looks(),
        }
        found["bad"] = self._bad(found)
        found |= self._known(found)
        found |= self._alerts()
        return found | self._ranked(found)

    def _numbers(self) -> dict[str, LiveValue]:
        lambing = {"waters": "waters_seen", "sides": "sides_in_milk", "sides_next": "sides_next_day"}
        own = ("scanned", "due", "mated_on", "left_on")
        hers = ("lambed_on", "finished", "waters", "born_alive", "born_dead", "sides", "sides_next")
        found = {id: number(self.record, id) for id in own}
        return found | {id: number(self.lambing, lambing.get(id, id)) for id in hers}

    def _codes(self) -> dict[str, LiveValue]:
        lists = {"all_well": YesNo, "teats": Teats, "prolapse": Prolapse, "next_day": NextDay, "afterbirth": YesNo}
        found: dict[str, LiveValue] = {"left_how": code(self.record, "left_how", EweLeft)}
        return found | {id: code(self.lambing, id, choices) for id, choices in lists.items()}

    def _lambs(self) -> dict[str, LiveValue]:
        ewe = self.ewe
        named = [lamb for lamb in ewe.lambs if lamb.named]
        side = [lamb for lamb in at_her_side(ewe) if lamb.named]
        flagged = sum(any(what_is_wrong(lamb).values()) for lamb in side)
        aborted = sum(lamb.born is Born.ABORTED for lamb in named)
        here = [lamb for lamb in ewe.born_alive if lamb.left_how is None]
        bellies = sum(lamb.record.filled("belly") for lamb in named)
        self.bad_lambs = sum(bad_lamb(self.rows.typed["lambs"][lamb.record.row - FIRST_ROW]) for lamb in named)
        counts = (len(named), sum(lamb.born in BORN for lamb in named), aborted, sum(lamb.named for lamb in here), bellies,
                  self.bad_lambs)
        borne = sum(count * PAIR**pair for pair, count in enumerate(counts))
        unnamed = [lamb for lamb in ewe.lambs if not lamb.named]
        alive = sum(lamb.born is Born.ALIVE for lamb in unnamed)
        return {
            "borne": borne, "reared": len(side) + PAIR * flagged,
            "rows": len(named), "lambs": len(ewe.lambs), "born": len(ewe.born), "aborted_lambs": aborted,
            "alive_here": len(here), "bellies": bellies, "unnamed": alive, "unnamed_dead": len(unnamed) - alive,
            "at_side": len(side) + alive, "flagged": flagged, **self._flags(side),
        }

    def _flags(self, side: Sequence[Lamb]) -> dict[str, LiveValue]:
        """For each thing wrong with lambs at her side, the key of the one seen last."""
        lambs = [(what_is_wrong(lamb), minute(since_when(self.rows, lamb))) for lamb in side]
        return {
            id: max((self.row * EWE + seen for found, seen in lambs if found[f"{id}_key"]), default=0)
            for id in ("hollow", "unsucked", "refused")
        }

    def _looks(self) -> dict[str, LiveValue]:
        def keys(id: str) -> list[int]:
            return [int(look[f"{id}_key"]) for look in self.checks if look[f"{id}_key"] != ""]

        found: dict[str, LiveValue] = {"look" if id == "look" else f"{id}_look": max(keys(id), default=0) for id in _KEYS}
        found["aborted_look"] = min(keys("aborted"), default=0)
        return found | {"checks": len(self.checks), "treated": len(self.treated)}

    def _bad(self, found: LiveRow) -> int:
        numbers = [found[id] for id in self._numbers()]
        wrong = bad(*numbers) or UNREADABLE in [found[id] for id in self._codes()] or self.bad_lambs
        others = any(one["bad"] for one in (*self.checks, *self.treated)) or (self.group and self._group()["bad"])
        return int(bool(self.first and (wrong or others)))

    def _group(self) -> LiveRow:
        return self.others.groups[self.group - 1]

    def _known(self, found: LiveRow) -> dict[str, LiveValue]:
        ewe, when = self.ewe, self.rows.when
        lambed = lambed_at(ewe)
        waters = moment(ewe.lambing, "waters_seen", when.date(), when) if ewe.lambing else None
        last = last_possible_day(self.rows.season, ewe, self.watch.group(ewe)) if self.first else None
        counted = self._group()["counted"] if self.group else 0
        return {
            "gone": int(ewe.gone), "crowd": -1 if ewe.gone else found["at_side"],
            "lambed_at": "" if lambed is None else serial(lambed), "lambed_minute": minute(lambed),
            "waters_at": "" if waters is None else serial(waters), "waters_minute": minute(waters),
            "aborted": int(ewe.aborted), "lambed": int(ewe.lambed), "ram_out": self._group()["ram_out"] if self.group else "",
            "last_day": "" if last is None else serial(last), "watched": int(self.first and not ewe.gone and not counted),
            "looked": int(looked_at(ewe)), **self._milk(found, minute(lambed)),
            "since_waters": 0 if waters is None else minute(when) - minute(waters),
            "since_lambed": 0 if lambed is None else minute(when) - minute(lambed),
        }

    def _milk(self, found: LiveRow, lambed: int) -> dict[str, LiveValue]:
        """The last look at the sides in milk, and at the teats."""
        sides: LiveValue = ""
        for value in (found["sides"], found["sides_next"]):
            sides = value if is_number(value) else sides
        if sides == "" and found["sides"] == "" and found["all_well"] == 1:
            sides = BOTH_SIDES
        teats = found["teats"]
        if found["milk_look"]:
            sides = self._look(found["milk_look"])["sides"]
        if found["teats_look"]:
            teats = self._look(found["teats_look"])["teats"]
        return {"last_sides": sides, "sides_since": self._since(found["milk_look"], lambed), "last_teats": teats,
                "teats_since": self._since(found["teats_look"], lambed)}

    def _look(self, key: LiveValue) -> LiveRow:
        return next(look for look in self.checks if look["key"] == key)

    def _since(self, key: LiveValue, lambed: int) -> int:
        since = int(key) // DAY % (EWE // DAY) * MINUTES
        return since if key and since < NO_MINUTE else lambed

    def _alerts(self) -> dict[str, LiveValue]:
        found: dict[str, LiveValue] = dict.fromkeys((raised_id(alert) for alert in ALERTS), 0)
        for sign in signs(self.watch, self.ewe) if self.first else ():
            id, ranked = raised_id(sign.alert), self._rank(sign)
            freshest = sign.alert in FRESHEST
            found[id] = _fresher(int(found[id]), ranked) if freshest else min(int(found[id]) or ranked, ranked)
        return found

    def _rank(self, sign: Sign) -> int:
        return rank(sign.alert, urgency(sign.alert, sign.since, self.rows.when)) + minute(sign.since)

    def _ranked(self, found: LiveRow) -> dict[str, LiveValue]:
        raised = [int(found[raised_id(alert)]) for alert in ALERTS]
        worst = min((one for one in raised if one), default=0)
        listed = 0 < worst < END * URGENCY
        room = BOTH_SIDES - int(found["at_side"]) if found["last_sides"] == BOTH_SIDES else 0
        scanned = found["scanned"]
        size = (min(scanned, 4) if isinstance(scanned, int | float) else -1) if self.first else -2
        return {
            "worst": worst, "key": self.row if found["bad"] else worst * FIRST + self.row if listed else "",
            "room": room, "room_key": self._room_key(found, room), **self._withdrawal(found),
            "lambed_day": int(serial(_day(self.ewe))) if self.ewe.lambed and self.ewe.lambed_on else "",
            "size": size, "lambed_size": size if self.ewe.lambed else -2,
        }

    def _room_key(self, found: LiveRow, room: int) -> LiveValue:
        since = int(found["since_lambed"])
        fit = self.first and found["gone"] == 0 and found["lambed"] == 1 and found["aborted"] == 0 and not found["bad"]
        lately = found["lambed_at"] != "" and 0 <= since <= SET_ON_DAYS * MINUTES
        if not (fit and lately and room > 0) or any(_is_on(found, alert) for alert in NOT_FOR_SETTING_ON):
            return ""
        return int(found["at_side"]) * FIRST**2 * 10 + since * FIRST + self.row

    def _withdrawal(self, found: LiveRow) -> dict[str, LiveValue]:
        if not self.first:
            return {"until": 0, "until_unknown": 0}
        own = [int(one["until"]) for one in self.treated if one["until"] != ""]
        group: LiveRow = self._group() if self.group else {"until": 0, "unknown": 0}
        unknown = found["alert_withdrawal_not_known"] or group["unknown"] or self.others.all_ewes_unknown
        return {"until": max([*own, int(group["until"]), self.others.all_ewes_until]), "until_unknown": int(bool(unknown))}


def _fresher(one: int, other: int) -> int:
    """Of two ranks of one alert the one seen later."""
    return max(one, other, key=lambda ranked: (ranked % SINCE, -ranked))


def _day(ewe: Ewe) -> date:
    assert ewe.lambed_on is not None
    return ewe.lambed_on


def _is_on(found: LiveRow, alert: Alert) -> bool:
    return 0 < int(found[raised_id(alert)]) < END * URGENCY
