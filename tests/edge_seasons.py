"""Random small seasons whose dates, hours and numbers stand just before, on and just after every limit of the live lists."""

from collections.abc import Callable, Sequence
from datetime import date, datetime, time, timedelta
from random import Random

from template_builder.layout.alerts import (
    ABORTIONS_CLOSE,
    AFTERBIRTH_HELD,
    ALERTS,
    EARLY_BY,
    FIRST_DAYS,
    ILLNESS_FADES,
    LABOUR_LAPSES,
    NEXT_LOOK_LAPSES,
)
from template_builder.layout.choices import (
    Belly,
    Born,
    CameFrom,
    Cause,
    CheckOccasion,
    Colostrum,
    EweLeft,
    Feet,
    HowRecorded,
    LambingTrouble,
    LambLeft,
    Milk,
    NextDay,
    Prolapse,
    RearedBy,
    Reason,
    Sex,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Vigour,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.illnesses import ILLNESSES, WITHIN_DAYS, Illness
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.settings import SETTING
from template_builder.live.lamb_block import SET_ON_DAYS

Rows = dict[str, list[Row]]
MIDNIGHT = datetime(2026, 3, 25)  # when a day written without its hour can be just so long ago
MOMENTS = (MIDNIGHT, MIDNIGHT, datetime(2026, 3, 25, 3), datetime(2026, 3, 25, 23, 59), datetime(2026, 3, 1, 12))
MOST_EWES = 24
GROUPS = ("A", "B", "Hill")
ALARMS = (2, 10, 20, 25, 50, 100)  # shares that so few ewes can be exactly
_MINUTE = timedelta(minutes=1)


def hours(id: str) -> timedelta:
    default = SETTING[id].default
    assert isinstance(default, int | float)
    return timedelta(hours=default)


def days(id: str) -> timedelta:
    return hours(id) * 24


# So long before now, give or take a minute or a day, something changes.
SPANS = tuple(dict.fromkeys((
    hours("next_look"), hours("long_labour"), NEXT_LOOK_LAPSES, LABOUR_LAPSES, timedelta(days=SET_ON_DAYS), timedelta(),
    *(alert.fades for alert in ALERTS if alert.fades), timedelta(days=1), timedelta(days=2), timedelta(days=40),
)))
DAYS = tuple(span for span in SPANS if not span % timedelta(days=1))


class Edges:
    """What may stand in cells at one moment, drawn by one dice."""

    def __init__(self, dice: Random, now: datetime) -> None:
        self.dice, self.now = dice, now
        self.weaning = {name: self.day() if dice.random() < 0.7 else None for name in GROUPS}

    def one_of(self, *values: Value) -> Value:
        return self.dice.choice(values)

    def seldom(self, value: Callable[[], Value], share: float = 0.3) -> Value:
        return value() if self.dice.random() < share else None

    def moment(self) -> datetime:
        """A moment at most a minute from a limit."""
        return self.now - self.dice.choice(SPANS) + self.dice.choice((-1, 0, 1)) * _MINUTE

    def day(self) -> date:
        """A day at most a day from a limit."""
        return self.now.date() - self.dice.choice(DAYS) + timedelta(days=self.dice.choice((-1, 0, 0, 1)))

    def waters(self) -> datetime:
        """A moment at most a minute from now, since when a ewe in labour is looked at, it is long, or no longer looked after."""
        span = self.dice.choice((timedelta(), hours("labour_look"), hours("long_labour"), LABOUR_LAPSES))
        return self.now - span + self.dice.choice((-1, 0, 0, 1)) * _MINUTE

    def sides(self) -> Value:
        return self.one_of(None, None, 0, 1, 2, 2, NOT_KNOWN)

    def mated(self) -> date:
        """A mating after which her last possible day is yesterday, today or tomorrow."""
        return self.now.date() - days("gestation_most") + timedelta(days=self.dice.choice((-20, -15, -14, -1, 0, 0, 1)))

    def early(self, lambed: date) -> date:
        """A mating after which a lambing on this day is early by a day less, as many, or a day more than an abortion's."""
        return lambed + EARLY_BY - days("gestation") + timedelta(days=self.dice.choice((-1, 0, 1)))

    def condition(self) -> Value:
        return self.one_of(None, None, 1.4, 1.5, 1.6, 3.0, NOT_KNOWN)

    def due(self) -> date:
        return self.now.date() - days("gestation_most") + days("gestation") + timedelta(days=self.dice.choice((-14, -1, 0, 0, 1)))


def edge_season(seed: int) -> tuple[Rows, datetime]:
    """A season of a few ewes, and the moment at which it is looked at."""
    dice = Random(seed)
    now = dice.choice(MOMENTS)
    edge = Edges(dice, now)
    ewes = [_ewe(f"{number:03}", edge) for number in range(1, dice.randint(2, MOST_EWES))]
    names = [str(ewe["ewe"]) for ewe in ewes]
    # Of the plain nothing more is written than that they lambed; fresh ones have small or weak lambs, nursed ones were looked at;
    # of those with a word their trouble is told in one.
    fate = {name: dice.choice(("plain", "plain", "worded", "fresh", "nursed", "full", "full")) for name in names}
    ewes = [{**ewe, "scanned": 3} if fate[str(ewe["ewe"])] == "fresh" else ewe for ewe in ewes]
    rows: Rows = lay_ready(_filled(ewes), dice.choice((Order.DUE, Order.EWE)))
    rows["lambing"] = _filled([{**row, **_LAMBINGS[fate[str(row["ewe"])]](edge)} for row in rows["lambing"]])
    _mated_early(edge, rows)
    rows["lambs"] = _filled([{**row, **_lamb_of(edge, fate[str(row["ewe"])], names)} for row in rows["lambs"]])
    rows["lambs"] += _filled([_fostered(edge, names) for _ in range(dice.randint(0, 3))])
    rows["lambs"] += _filled([{"ewe": edge.one_of(None, *names), **_lamb(edge, names)} for _ in range(dice.randint(0, 3))])
    others = [name for name in names if fate[name] in ("fresh", "full")] or names
    rows["ewe_check"] = _filled([_look(edge, others) for _ in range(dice.randint(0, 2 * len(others)))])
    rows["treatments"] = _filled([_treatment(edge, names) for _ in range(dice.randint(0, 12))])
    for name in (name for name in names if fate[name] in ("nursed", "worded")):
        _nurse(edge, rows, name)
    rows["groups"] = _filled([_group(edge, name) for name in GROUPS])
    rows["policy"] = [{"row_key": "abortion-alarm", "limit": edge.one_of(*ALARMS)}]
    later = Edges(Random(f"illness {seed}"), now)
    rows["policy"].append({"row_key": "empties-question", "limit": later.one_of(*ALARMS)})
    if later.dice.random() < 0.6:
        _falling_ill(later, rows, names)
    elif later.dice.random() < 0.5:
        rows["ewe_check"] += _two_abortions(later, names)
    return rows, now


def _two_abortions(edge: Edges, ewes: Sequence[str]) -> list[Row]:
    """A week apart, a day less or more."""
    last, apart = edge.day(), ABORTIONS_CLOSE + timedelta(days=edge.dice.choice((-1, 0, 1)))
    return [{"ewe": ewe, "date": day, "trouble": Trouble.ABORTED}
            for ewe, day in zip(edge.dice.sample(ewes, min(2, len(ewes))), (last, last - apart), strict=False)]


def _falling_ill(edge: Edges, rows: Rows, ewes: Sequence[str]) -> None:
    """Some animals that fall ill of one thing, the last of them as long ago as that is told of, at most a day more or less."""
    illness = edge.dice.choice(ILLNESSES)
    near = timedelta(days=edge.dice.choice((-1, 0, 1)))
    last = edge.now.date() - edge.dice.choice((timedelta(), ILLNESS_FADES, ILLNESS_FADES)) + near
    ago = [0, edge.dice.randint(0, WITHIN_DAYS), WITHIN_DAYS + edge.dice.choice((-1, 0, 0, 1))]
    ago += [WITHIN_DAYS] * edge.dice.randint(0, 2)
    for animal, back in zip(edge.dice.choices(range(len(ewes) + 2), k=len(ago)), ago, strict=True):
        for _ in range(edge.dice.choice((1, 1, 2))):
            day = edge.seldom(lambda day=last - timedelta(days=back): day, 0.95)
            _falls_ill(edge, rows, illness, ewes[animal % len(ewes)], day)


def _falls_ill(edge: Edges, rows: Rows, illness: Illness, ewe: str, day: Value) -> None:
    """One row that tells of it, wherever the word of the illness can stand."""
    word = edge.dice.choice(illness.words)
    lamb = illness.animals == "lambs"
    if isinstance(word, Cause):
        if any(row.get("ewe") == ewe and row.get("lamb_no") == 8 for row in rows["lambs"]):
            return  # it died once
        rows["lambs"].append({"ewe": ewe, "lamb_no": 8, "left_how": edge.one_of(LambLeft.DIED, LambLeft.DIED, LambLeft.SOLD),
                              "left_on": day, "cause": word, "tag": edge.seldom(lambda: f"7{ewe}"), "born": Born.ALIVE})
    elif isinstance(word, Reason):
        rows["treatments"].append({"given_to": TreatedFor.LAMB if lamb else TreatedFor.EWE, "animal": f"{ewe}-8" if lamb else ewe,
                                   "product": "x", "reason": word, "date": day, "withdrawal": 0})
    elif isinstance(word, Trouble):
        rows["ewe_check"].append({"ewe": ewe, "date": day, "trouble": word})
    elif isinstance(word, WhyMoved):
        rows["lambs"].append({"ewe": ewe, "born": Born.ALIVE, "why_moved": word, "moved_on": day, "reared_by": RearedBy.PET})
    else:
        column = "prolapse" if isinstance(word, Prolapse) else "trouble"
        hers = [row for row in rows["lambing"] if row.get("ewe") == ewe]
        for row in hers[:1]:
            row.update({column: word, "lambed_on": day})


def _mated_early(edge: Edges, rows: Rows) -> None:
    """Some ewes that lambed so long before their day that they may have aborted."""
    lambed = {row["ewe"]: day for row in rows["lambing"] if isinstance(day := row.get("lambed_on"), date)}
    rows["ewes"] = [{**row, "mated_on": edge.early(lambed[row["ewe"]])} if row["ewe"] in lambed and edge.dice.random() < 0.3
                    else row for row in rows["ewes"]]


def _lambed(edge: Edges) -> Row:
    """No more than when she lambed, that she has milk and how she mothers, or that her waters were seen."""
    moment = edge.moment()
    if edge.dice.random() < 0.4:
        waters = edge.waters()
        return {"waters_seen": edge.one_of(waters, _clock(waters))}
    return {"lambed_on": moment.date(), "finished": edge.one_of(None, moment, moment), "sides_in_milk": edge.one_of(1, 2, 2),
            "mothering": edge.one_of(None, None, None, 2, 3)}


def _alive(edge: Edges) -> Row:
    return {"born": edge.one_of(None, Born.ALIVE, Born.ALIVE), "sucked": edge.one_of(None, None, Sucked.NO)}


def _newborn(edge: Edges) -> Row:
    """A lamb that is small or weak, about which its first milk says more."""
    return {
        "born": Born.ALIVE, "birth_weight": edge.one_of(None, 2.9, 3.0, 3.0, 3.1), "vigour": edge.one_of(None, None, *Vigour),
        "sucked": edge.one_of(None, *Sucked), "belly": edge.seldom(lambda: edge.one_of(*Belly), 0.05),
    }


def _first_days(edge: Edges) -> Row:
    """Lambed as long ago as colostrum and the afterbirth are asked about, a minute more or less."""
    moment = edge.now - edge.dice.choice((FIRST_DAYS, FIRST_DAYS, AFTERBIRTH_HELD)) + edge.dice.choice((-1, 0, 0, 1)) * _MINUTE
    return {
        "lambed_on": moment.date(), "finished": moment, "colostrum": edge.one_of(None, *Colostrum),
        "afterbirth": edge.one_of(None, *YesNo), "next_day": edge.seldom(lambda: NextDay.ALL_FULL, 0.1),
    }


def _before_a_look(edge: Edges) -> Row:
    """A lambing with what a later look may find otherwise."""
    return {
        **_lambed(edge), "condition": edge.condition(), "teats": edge.one_of(None, Teats.SOUND, Teats.LARGE, Teats.BLOCKED),
        "next_day": edge.one_of(None, None, NextDay.TROUBLE),
    }


def _in_a_word(edge: Edges) -> Row:
    """A lambing with one word of trouble, and at most one of the columns that say more of it."""
    beside = edge.dice.choice(({"prolapse": Prolapse.NONE}, {"prolapse": NOT_KNOWN}, {"colostrum": NOT_KNOWN},
                               {"teats": Teats.SOUND}, {"teats": Teats.SMALL}, {"born_dead": 1}, {}, {}, {}, {}))
    return {**_lambed(edge), "born_alive": edge.one_of(None, 0, 1, 1), "all_well": edge.one_of(None, YesNo.YES),
            "trouble": edge.one_of(*LambingTrouble), **beside}


def _nurse(edge: Edges, rows: Rows, name: str) -> None:
    """One or two looks at a ewe from the day before she lambed on, and a treatment the day before, on, or after the first."""
    lambed = [day for row in rows["lambing"] if row.get("ewe") == name and isinstance(day := row.get("lambed_on"), date)]
    day = (lambed[0] if lambed else edge.day()) + timedelta(days=edge.dice.choice((-1, 0, 0, 0, 1, 2)))
    looks: list[Row] = [{
        "ewe": name, "date": edge.seldom(lambda: day, 0.9), "feet": edge.seldom(lambda: Feet.BADLY_LAME),
        "condition": edge.seldom(edge.condition, 0.5), "teats": edge.seldom(lambda: edge.one_of(*Teats), 0.7),
        "milk": edge.one_of(None, NOT_KNOWN, *Milk), "sides_in_milk": edge.seldom(lambda: edge.one_of(1, 2), 0.4),
        "trouble": edge.seldom(lambda: Trouble.THIN, 0.2),
    }]
    if edge.dice.random() < 0.3:
        looks.append({"ewe": name, "date": day + timedelta(days=edge.dice.choice((0, 1))), "teats": edge.one_of(None, NOT_KNOWN)})
    bare: list[Row] = [{"ewe": name, "date": day}]
    rows["ewe_check"] += bare if edge.dice.random() < 0.3 else _filled(looks)
    if edge.dice.random() < 0.5:
        given = day + timedelta(days=edge.dice.choice((-1, 0, 0, 1)))
        rows["treatments"].append({"given_to": TreatedFor.EWE, "animal": name, "product": "x", "date": given, "withdrawal": 0,
                                   "reason": edge.dice.choice((Reason.LAMENESS, Reason.LAMENESS, Reason.VACCINE, Reason.OTHER))})


def _fostered(edge: Edges, ewes: Sequence[str]) -> Row:
    """A lamb set on and refused, by its own ewe or by the one that should take it."""
    return {
        "ewe": edge.one_of(None, *ewes), "foster_ewe": edge.dice.choice(ewes), "reared_by": RearedBy.FOSTER_EWE,
        "taken": Taken.REFUSED, "why_moved": edge.one_of(None, NOT_KNOWN, WhyMoved.REFUSED, WhyMoved.SPARE),
        "moved_on": edge.seldom(edge.day, 0.8),
    }


def _lamb_of(edge: Edges, fate: str, ewes: Sequence[str]) -> Row:
    if fate == "full":
        return _lamb(edge, ewes) if edge.dice.random() < 0.8 else {}
    if fate == "worded":
        born = edge.one_of(None, Born.ALIVE, Born.ALIVE, *Born)
        return {"taken": edge.one_of(None, Taken.YES, Taken.YES, *Taken), "born": born} if edge.dice.random() < 0.4 else {}
    return _newborn(edge) if fate == "fresh" else _alive(edge)


def _filled(rows: Sequence[Row]) -> list[Row]:
    return [{id: value for id, value in row.items() if value is not None} for row in rows]


def _ewe(name: str, edge: Edges) -> Row:
    gone = edge.dice.random() < 0.2
    group = edge.one_of(None, *GROUPS, "nowhere")
    weaned = edge.weaning.get(str(group))
    left = edge.one_of(edge.day(), *([weaned + timedelta(days=near) for near in (-1, 0, 1)] if weaned else [None]))
    return {
        "ewe": name, "scanned": edge.one_of(None, NOT_KNOWN, 0, 1, 2, 2, 3), "due": edge.seldom(edge.due, 0.6),
        "mated_on": edge.seldom(edge.mated), "group": group,
        "left_on": left if gone else None, "left_how": edge.one_of(None, NOT_KNOWN, *EweLeft) if gone else None,
    }


def _lambing(edge: Edges) -> Row:
    lambed = edge.dice.random() < 0.7
    moment = edge.moment()
    finished = edge.one_of(None, moment.time() if moment.time() != time() else None, moment)
    return {
        "lambed_on": moment.date() if lambed else None, "finished": finished if lambed else None,
        "waters_seen": edge.seldom(lambda: edge.one_of(edge.waters(), _clock(edge.waters())), 0.2 if lambed else 0.8),
        "born_alive": edge.one_of(None, None, 0, 1, 2) if lambed else None, "born_dead": edge.seldom(lambda: 1, 0.1),
        "sides_in_milk": edge.sides(), "sides_next_day": edge.seldom(edge.sides), "teats": edge.one_of(None, NOT_KNOWN, *Teats),
        "all_well": edge.one_of(None, None, *YesNo), "prolapse": edge.one_of(None, None, NOT_KNOWN, *Prolapse),
        "next_day": edge.one_of(None, None, NOT_KNOWN, *NextDay), "pen": edge.one_of(None, "7", "0 9"),
        "afterbirth": edge.one_of(None, None, None, *YesNo), "colostrum": edge.one_of(None, None, None, *Colostrum),
        "trouble": edge.one_of(None, None, None, None, NOT_KNOWN, *LambingTrouble),
        "mothering": edge.one_of(None, None, None, 1, 2, 3, 5), "condition": edge.condition(),
        "turned_out_to": edge.one_of(None, None, None, None, NOT_KNOWN, "nowhere", *GROUPS),
    }


def _clock(moment: datetime) -> Value:
    return moment.time() if moment.time() != time() else None


def _lamb(edge: Edges, ewes: Sequence[str]) -> Row:
    gone = edge.dice.random() < 0.2
    return {
        "born": edge.one_of(None, *[Born.ALIVE] * 6, *Born), "birth_weight": edge.one_of(None, 4.5, 2.9, 3.0, 3.1),
        "vigour": edge.one_of(None, None, NOT_KNOWN, *Vigour), "why_moved": edge.one_of(None, None, None, NOT_KNOWN, *WhyMoved),
        "sex": edge.one_of(None, *Sex), "sucked": edge.one_of(None, NOT_KNOWN, *Sucked),
        "taken": edge.one_of(None, NOT_KNOWN, *Taken),
        "belly": edge.one_of(None, None, None, NOT_KNOWN, *Belly),
        "reared_by": edge.one_of(None, None, NOT_KNOWN, *RearedBy), "foster_ewe": edge.one_of(None, None, None, None, *ewes),
        "came_from": edge.one_of(None, None, None, NOT_KNOWN, *CameFrom), "moved_on": edge.seldom(edge.day),
        "left_on": edge.one_of(None, edge.day()) if gone else None,
        "left_how": edge.one_of(None, NOT_KNOWN, *LambLeft) if gone else None,
        "tag": edge.seldom(lambda: f"7{edge.dice.randint(0, 99):03}"),
    }


def _look(edge: Edges, ewes: Sequence[str]) -> Row:
    return {
        "ewe": edge.dice.choice(ewes), "date": edge.seldom(edge.day, 0.8), "occasion": edge.one_of(None, *CheckOccasion),
        "milk": edge.one_of(None, NOT_KNOWN, *Milk), "sides_in_milk": edge.sides(), "teats": edge.one_of(None, NOT_KNOWN, *Teats),
        "lambs_at_foot": edge.one_of(None, 0, 1, 2), "trouble": edge.one_of(None, None, None, NOT_KNOWN, *Trouble),
        "udder": edge.one_of(None, None, NOT_KNOWN, Udder.SOUND, *Udder), "feet": edge.one_of(None, NOT_KNOWN, *Feet),
        "condition": edge.condition(),
    }


def _treatment(edge: Edges, ewes: Sequence[str]) -> Row:
    to = edge.dice.choice([TreatedFor.EWE, TreatedFor.EWE, TreatedFor.GROUP, TreatedFor.ALL_EWES])
    ends = edge.now.date() + timedelta(days=edge.dice.choice((-1, 0, 1, 20)))
    length = edge.dice.randint(0, 30)
    animal = {TreatedFor.EWE: edge.dice.choice(ewes), TreatedFor.GROUP: edge.dice.choice(GROUPS)}.get(to)
    return {
        "given_to": to, "animal": animal, "product": "x", "reason": edge.one_of(None, NOT_KNOWN, *Reason),
        "date": edge.one_of(None, *[ends - timedelta(days=length)] * 4, edge.day(), edge.day()),
        "withdrawal": edge.one_of(None, length, length, length),
    }


def _group(edge: Edges, name: str) -> Row:
    return {
        "group": name, "ram_out": edge.seldom(edge.mated), "weaning": edge.weaning[name],
        "how_recorded": edge.one_of(None, None, None, HowRecorded.COUNTS_ONLY),
    }


_LAMBINGS: dict[str, Callable[[Edges], Row]] = {
    "plain": _lambed, "fresh": _first_days, "nursed": _before_a_look, "worded": _in_a_word,
    "full": lambda edge: _lambing(edge) if edge.dice.random() < 0.8 else {},
}
