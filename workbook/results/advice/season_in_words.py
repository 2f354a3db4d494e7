"""One plain line for a ewe's season, from scan to weaning."""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import groupby

from template_builder.layout.choices import (
    Belly,
    Born,
    Choice,
    Feet,
    Help,
    LambingTrouble,
    Mouth,
    Prolapse,
    Taken,
    Teats,
    Trouble,
    Udder,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import Value
from template_builder.layout.sides import A_SIDE_DRY, BOTH_SIDES
from template_builder.layout.words import sentence, shown
from workbook.results.advice.signs import called
from workbook.results.clinical.hers import at_her_side, why_moved
from workbook.results.scores.litter_weight import LitterWeight
from workbook.season.cells import Record
from workbook.season.families import Ewe

LOOKED_AT = ("udder", "teats", "mouth", "feet")
SOUND: tuple[Choice, ...] = (Udder.SOUND, Teats.SOUND, Mouth.FULL, Feet.SOUND)
LAME: tuple[Choice, ...] = (Feet.LAME, Feet.BADLY_LAME)
TOLD_AS_HELP = (LambingTrouble.HELPED, LambingTrouble.LAY_WRONG, LambingTrouble.NARROW, LambingTrouble.NOT_OPEN)
GOOD_NEWS: tuple[Choice, ...] = (Prolapse.NONE, Teats.SOUND, Taken.YES, Belly.FULL)


def season_in_words(ewe: Ewe, litter: LitterWeight | None = None, *, sound: bool = True, year: int | None = None) -> str:
    """What was recorded about her this season in one line, in the order it happened; only what is out of the ordinary
    is told at length. `litter` adds what she weaned; without `sound` a look that found nothing wrong is left out; days of
    the `year` above the line are told without it."""
    said = [*_scan(ewe), *_lambing(ewe, year), *_lambs(ewe), *_rearing(ewe, litter), *_checks(ewe, sound, year),
            *_end(ewe, year)]
    line = "; ".join(said) or "nothing recorded this season"
    return sentence(line)


def _scan(ewe: Ewe) -> Iterator[str]:
    if ewe.scanned is not None:
        yield f"scanned {ewe.scanned}" if ewe.scanned else "scanned empty"


def _day(day: date | None, year: int | None) -> str:
    return shown(day).removesuffix(f" {year}")


def _lambing(ewe: Ewe, year: int | None) -> Iterator[str]:
    row = ewe.lambing
    if ewe.lambed:
        born = Counter(lamb.born for lamb in ewe.lambs)
        lambs = ", ".join(f"{number} {born_as.label}" for born_as, number in sorted(born.items(), key=_in_list_order))
        day = f" on {_day(ewe.lambed_on, year)}" if ewe.lambed_on else ""
        yield f"lambed{day}" + (f": {lambs}" if lambs else "")
    elif ewe.aborted:
        yield "aborted"
    if row is None:
        return
    help_given, why = row.choice("help", Help), row.choice("why_helped", WhyHelped)
    if help_given not in (None, Help.NONE) or why is not None:
        yield f"help {shown(help_given) or 'given'}" + (f" ({shown(why)})" if why else "")
    yield from _milk(row)
    yield from _unusual(row, "prolapse", " prolapse")
    if ewe.trouble and ewe.trouble not in TOLD_AS_HELP and not (ewe.aborted and ewe.trouble is LambingTrouble.ABORTED):
        yield f"trouble: {ewe.trouble}"


def _in_list_order(pair: tuple[Born, int]) -> int:
    return list(Born).index(pair[0])


def _milk(row: Record) -> Iterator[str]:
    for column, when in (("sides_in_milk", "at lambing"), ("sides_next_day", "next day")):
        sides = row.whole(column)
        if A_SIDE_DRY.said_by(sides):
            yield f"{sides} of {BOTH_SIDES} sides in milk {when}"
    yield from _unusual(row, "teats", " teats")


def _unusual(row: Record, column: str, noun: str = "") -> Iterator[str]:
    value: Value = row[column]
    if isinstance(value, Choice) and value not in GOOD_NEWS:
        yield f"{value.label}{noun}"


def _lambs(ewe: Ewe) -> Iterator[str]:
    """Lambs not taken, moved, or lost, each by its name."""
    for lamb in ewe.born_alive:
        if not lamb.named:
            continue
        told = [*_unusual_taken(lamb.record), *_unusual(lamb.record, "belly", " next day")]
        if why := why_moved(lamb):
            told.append(f"moved: {why.label}")
        if lamb.lost:
            cause = shown(lamb.record["cause"])
            told.append(shown(lamb.left_how) + (f" (cause: {cause})" if cause else ""))
        if told:
            yield f"{called(lamb)} {', '.join(told)}"


def _unusual_taken(row: Record) -> Iterator[str]:
    """How she took it; that she refused it is said once where it was moved for that."""
    taken = row.choice("taken", Taken)
    if taken is Taken.REFUSED and row["why_moved"] is WhyMoved.REFUSED:
        return
    if taken is not None and taken is not Taken.YES:
        yield "refused" if taken is Taken.REFUSED else f"taken {taken.label}"


def _rearing(ewe: Ewe, litter: LitterWeight | None) -> Iterator[str]:
    if ewe.brought:
        yield f"{len(ewe.brought)} came with her"
    if ewe.fostered:
        yield f"{len(ewe.fostered)} set on to her"
    if litter is not None and litter.kg is not None:
        yield f"reared {litter.reared}, {litter.kg:.1f} kg at weaning age"
    elif ewe.born_alive or ewe.brought or ewe.fostered:
        yield f"{len(at_her_side(ewe)) or 'no lamb'} with her"


def _checks(ewe: Ewe, told: bool, year: int | None) -> Iterator[str]:
    """Each look: first what was wrong, then what was sound in one breath. Looks in a row that found the same are one."""
    for found, looks in groupby(_looks(ewe, told), key=lambda look: look[1]):
        days = list(filter(None, (_day(day, year) for day, _ in looks)))
        when = " and ".join(filter(None, (", ".join(days[:-1]), *days[-1:])))
        yield f"check{' ' * bool(when)}{when}: {found}"


def _looks(ewe: Ewe, told: bool) -> Iterator[tuple[date | None, str]]:
    """The day of each look and what it found; one that found nothing to tell is left out."""
    for check in ewe.checks:
        looked = [(column, check[column]) for column in LOOKED_AT if check[column] is not None]
        found = [f"{column} {shown(value)}" for column, value in looked if value not in SOUND]
        sound = [column for column, value in looked if value in SOUND]
        trouble = check.choice("trouble", Trouble)
        if trouble is not None and not (trouble is Trouble.LAME and check["feet"] in LAME):
            found.insert(0, trouble.label)
        if sound and told:
            found.append(f"{', '.join(sound)} sound")
        if found:
            yield check.day("date"), ", ".join(found)


def _end(ewe: Ewe, year: int | None) -> Iterator[str]:
    if ewe.gone and ewe.record is not None:
        how, day = shown(ewe.record["left_how"]) or "left", _day(ewe.left_on, year)
        yield f"{how}{' on ' * bool(day)}{day}"
