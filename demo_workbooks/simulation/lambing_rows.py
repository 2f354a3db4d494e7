"""The rows of Lambing: what was written about each ewe, at the time and on the next day."""

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from random import Random

from demo_workbooks.simulation.births import Birth, births
from demo_workbooks.simulation.departures import ewes_gone, lambs_lost
from demo_workbooks.simulation.farm import PENS, PEOPLE, TURNOUT, chance
from demo_workbooks.simulation.stories import Story
from template_builder.layout.choices import Born, Colostrum, Help, NextDay, Presentation, Prolapse, Sucked, Taken, Teats, YesNo
from template_builder.layout.columns import Row, Value
from template_builder.layout.settings import SETTING

_ALL_WELL_USED = 0.9  # most people tick it whenever they may
_COLOSTRUM_WRITTEN, _COUNTS_WRITTEN, _CONDITION_WRITTEN = 0.9, 0.3, 0.4
_TIMES_WRITTEN, _WATERS_SEEN, _FULL_MOMENT = 0.55, 0.45, 0.2
_CONDITION_MEAN, _CONDITION_SPREAD = 2.7, 0.3
_LEANEST, _FATTEST, _HALF_POINTS = 1.5, 4.0, 2
_LABOUR_MINUTES = (25, 100)
_LONG_LABOUR_MINUTES = (130, 260)


def lambing_rows() -> Mapping[str, Row]:
    """What to fill in on the Lambing row of each ewe, by her number; issued cells are not among it."""
    return {birth.ewe.number: _row(birth, at) for at, birth in enumerate(births())}


def all_well(birth: Birth) -> bool:
    """Whether "all well" was ticked, so that the cells it stands for were left blank."""
    return not birth.aborted and _nothing_wrong(birth) and chance("all well", birth.ewe.number).random() < _ALL_WELL_USED


def _nothing_wrong(birth: Birth) -> bool:
    ewe = birth.help is Help.NONE and birth.sides == 2 and birth.teats is Teats.SOUND and birth.prolapse is Prolapse.NONE
    lambs = all(
        lamb.alive and lamb.sucked is Sucked.ALONE and lamb.taken is Taken.YES and lamb.presentation is Presentation.NORMAL
        for lamb in birth.lambs
    )
    return ewe and lambs and birth.colostrum is not Colostrum.NONE and not _lost_by(birth, birth.day + timedelta(days=1))


def _lost_by(birth: Birth, day: date) -> bool:
    return any(lamb.name in lambs_lost() and lambs_lost()[lamb.name].on <= day for lamb in birth.lambs)


def _row(birth: Birth, at: int) -> Row:
    if birth.aborted:
        return {"recorded_by": PEOPLE[0], "notes": "Aborted, see Ewe check. Kept apart, samples sent by the vet"}
    dice = chance("lambing row", birth.ewe.number)
    row: dict[str, Value] = {"lambed_on": birth.day, "mothering": birth.mothering}
    if birth.mothering is not None and dice.random() < _COLOSTRUM_WRITTEN:
        row["colostrum"] = birth.colostrum
    row |= {"all_well": YesNo.YES} if all_well(birth) else _in_full(birth)
    if dice.random() < _COUNTS_WRITTEN:
        row |= {"born_alive": len(birth.alive), "born_dead": _born_dead(birth)}
    if dice.random() < _CONDITION_WRITTEN:
        score = round(dice.gauss(_CONDITION_MEAN, _CONDITION_SPREAD) * _HALF_POINTS) / _HALF_POINTS
        row["condition"] = min(_FATTEST, max(_LEANEST, score))
    row |= _times(birth, dice) | _next_day(birth) | _pen_and_turnout(birth, at, dice)
    row["recorded_by"] = dice.choice(PEOPLE)
    row["notes"] = _note(birth)
    return {column: value for column, value in row.items() if value is not None}


def _born_dead(birth: Birth) -> int:
    return sum(lamb.born in (Born.DEAD_FRESH, Born.DEAD_DECAYED) for lamb in birth.lambs)


def _in_full(birth: Birth) -> dict[str, Value]:
    return {
        "help": birth.help, "why_helped": birth.why, "sides_in_milk": birth.sides, "teats": birth.teats,
        "prolapse": birth.prolapse, "afterbirth": YesNo.YES,
    }


def _times(birth: Birth, dice: Random) -> dict[str, Value]:
    """Waters, help and finish, for the lambings somebody timed. A waters time later than the finish is the evening before."""
    if dice.random() > _TIMES_WRITTEN:
        return {}
    finished = datetime.combine(birth.day, time(dice.randrange(24), dice.randrange(0, 60, 5)))
    shortest, longest = _LABOUR_MINUTES if birth.help in (Help.NONE, Help.LIGHT) else _LONG_LABOUR_MINUTES
    waters = finished - timedelta(minutes=dice.randrange(shortest, longest, 5))
    row: dict[str, Value] = {"finished": finished}
    if dice.random() < _WATERS_SEEN or birth.help is not Help.NONE:
        row["waters_seen"] = waters
    if birth.help is not Help.NONE:
        row["first_helped"] = waters + (finished - waters) // 2
    if dice.random() < _FULL_MOMENT:
        return row
    return {column: moment.time() if isinstance(moment, datetime) else moment for column, moment in row.items()}


def _next_day(birth: Birth) -> dict[str, Value]:
    if birth.story is Story.NO_LOOK_NEXT_DAY:
        return {}
    tomorrow = birth.day + timedelta(days=1)
    left = [lamb for lamb in birth.alive if lamb.name not in lambs_lost() or lambs_lost()[lamb.name].on > tomorrow]
    look: NextDay | None = NextDay.ALL_FULL if left else None
    if birth.story is Story.CAESAREAN:
        look = NextDay.TROUBLE
    elif any(lamb.sucked is Sucked.TUBED or lamb.taken is Taken.REFUSED for lamb in left):
        look = NextDay.ONE_HOLLOW
    elif any(lamb.sucked is Sucked.HELPED for lamb in left):
        look = NextDay.HELPED
    return {"next_day": look, "sides_next_day": birth.sides_next_day if left else None}


def pen_days(birth: Birth) -> int:
    """Whole days the ewe stays in a pen, by the number of lambs she carried, as on Season."""
    days = SETTING[f"pen_days_{min(len(birth.lambs), 3)}"].default
    assert isinstance(days, int)
    return days


def _pen_and_turnout(birth: Birth, at: int, dice: Random) -> dict[str, Value]:
    pen = str(at % PENS + 1)
    out = birth.day + timedelta(days=pen_days(birth) + dice.randint(1, 2))
    out = min(out, TURNOUT - timedelta(days=1))
    gone = ewes_gone().get(birth.ewe.number)
    if gone is not None and gone.on <= out:
        return {"pen": pen}
    return {"pen": pen, "turned_out_on": out, "turned_out_to": birth.ewe.group.name}


def _note(birth: Birth) -> str | None:
    return {
        Story.CAESAREAN: "Vet operated, lamb dead when it came",
        Story.VAGINAL_PROLAPSE: "Out three weeks before lambing, harness as the vet showed us",
        Story.WOMB_PROLAPSE: "Womb out within the hour, vet put it back",
        Story.SIDE_DRY: "Left side nothing",
        Story.SIDE_SLOW: "Right side slow, came next day",
        Story.LARGE_TEATS: "Lamb could not get hold",
        Story.REFUSES: "Butted one, held her twice",
        Story.NO_COLOSTRUM: "No colostrum, lambs fed from the store",
        Story.VET_HELPED: "Could not find the head, rang the vet",
    }.get(birth.story) if birth.story else None
