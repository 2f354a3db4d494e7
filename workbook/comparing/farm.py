"""One farm's season as numbers: small enough for a thousand farms, and nothing in it but what is compared."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from fractions import Fraction

from template_builder.layout.choices import HowRecorded, Kept
from template_builder.layout.columns import Start
from workbook.comparing.measures import AGES, FIRST_DAYS, MEASURES, OF_SIZE, Measure, Since
from workbook.results.litters.figures import BEFORE, NOTHING, SO_FAR, WEANED, Figure
from workbook.results.litters.gaps import SETTINGS, SIZES
from workbook.results.litters.group_figures import TAKEN
from workbook.results.litters.known import ENOUGH, ENOUGH_SHOWN, enough
from workbook.results.litters.life_table import BIRTH_STAGE, WHEN_NOT_KNOWN, life_table
from workbook.results.litters.losses import LossClass, LossTable
from workbook.results.pipeline import Result
from workbook.results.statistics.proportions import FEW, PER_CENT
from workbook.season.cells import Record
from workbook.season.season import Season


class Recorded(Enum):
    """How a farm knows of its lambs; the value is what people read."""

    LAMB = "by lamb"
    EWE = "by ewe"
    COUNT = "by count"
    MIXED = "partly by lamb, ewe or count"


class Where(Enum):
    """Where a farm's ewes lamb."""

    INDOORS = "indoors"
    OUTDOORS = "outdoors"
    BOTH = "indoors and outdoors"
    NOT_WRITTEN = "indoors or outdoors not written"


@dataclass(frozen=True)
class Number:
    """One figure of a farm. `why` says why it is compared with nobody, "" where it may be; `recorded` how it is known.

    `value` is in per cent or as `unit` says, None where there is none or where it rests on too few animals.
    """

    numerator: float | None
    denominator: float | None
    value: float | None
    unit: str
    recorded: Recorded
    effect: float = 1.0
    why: str = ""


@dataclass(frozen=True)
class Farm:
    """A season workbook as numbers. `flock` and `file` are for whoever holds the key; the group workbook never shows them."""

    file: str
    flock: str
    year: int | None
    stage: str
    newest: str
    ewes: int
    recorded: Recorded
    where: Where
    numbers: Mapping[str, Number]
    targets: Mapping[str, float] = field(default_factory=dict)
    last: Mapping[str, float] = field(default_factory=dict)
    errors: int = 0
    letter: str = ""
    print: str = ""

    @property
    def kind(self) -> str:
        """How it records and where its ewes lamb, in words."""
        return f"{self.recorded.value}, {self.where.value}"


def targets_of(season: Season) -> tuple[dict[str, float], dict[str, float]]:
    """The farm's own targets and last season's figures by measure, as far as they are written on Season."""
    found: tuple[dict[str, float], dict[str, float]] = {}, {}
    for measure in MEASURES:
        names = SETTINGS.get(OF_SIZE.get(measure.id, measure.id), ())
        for setting, into in zip(names, found, strict=False):
            value = season.settings.maybe(setting) if setting else None
            if value is not None:
                into[measure.id] = value
    return found


def where_of(season: Season) -> Where:
    """Where the ewes lamb, as Groups says; where it says nothing, as the workbook was started."""
    kept = {row["kept"] for row in season.rows("groups")} & set(Kept)
    if kept:
        return Where.BOTH if len(kept) > 1 else Where.INDOORS if Kept.INDOORS in kept else Where.OUTDOORS
    return {Start.INDOORS: Where.INDOORS, Start.OUTDOORS: Where.OUTDOORS}.get(season.start, Where.NOT_WRITTEN)


def recorded_of(season: Season) -> tuple[Recorded, Recorded]:
    """How lambs are known in all groups, and in those with rows by ewe or lamb. Blank is told by what is written."""
    by_rows = Recorded.LAMB if any(lamb.named for lamb in season.flock.lambs) else Recorded.EWE
    ways = [_way(row, by_rows) for row in season.rows("groups")] or [by_rows]
    return _one_of(ways), _one_of([way for way in ways if way is not Recorded.COUNT] or [Recorded.COUNT])


def _way(group: Record, otherwise: Recorded) -> Recorded:
    match group["how_recorded"]:
        case HowRecorded.EACH_LAMB:
            return Recorded.LAMB
        case HowRecorded.EACH_EWE:
            return Recorded.EWE
        case HowRecorded.COUNTS_ONLY:
            return Recorded.COUNT
    return otherwise


def _one_of(ways: Iterable[Recorded]) -> Recorded:
    found = set(ways)
    return found.pop() if len(found) == 1 else Recorded.MIXED


def numbers_of(result: Result) -> dict[str, Number]:
    """Every measure of a season, those that cannot be compared with why."""
    whole, book = recorded_of(result.season)
    figures = {figure.id: figure for figure in result.figures}
    classes = {table.id: table.classes for table in result.losses}
    split = {**dict(_of_classes(classes, book)), FIRST_DAYS: _of_first_days(result.season, book)}
    found = {}
    for measure in MEASURES:
        recorded = whole if measure.id in TAKEN else book
        number = split.get(measure.id) or _of_figure(figures.get(measure.id), recorded)
        found[measure.id] = _judged(measure, number, figures.get(measure.id), result)
    return found


def _of_figure(figure: Figure | None, recorded: Recorded) -> Number:
    if figure is None:
        return Number(None, None, None, "", recorded)
    value = None if figure.few else figure.value
    return Number(figure.numerator, figure.denominator, value, figure.unit, recorded, figure.effect)


def _of_classes(tables: Mapping[str, Sequence[LossClass]], book: Recorded) -> Iterator[tuple[str, Number]]:
    """Losses of live-born lambs by litter size and by age of the ewe."""
    for id, (_, least, most) in ((id, SIZES[of]) for id, of in OF_SIZE.items()):
        yield id, _of_losses([one for one in tables.get("litter_size", ())
                              if one.label.isdigit() and least <= int(one.label) <= most], book)
    for id, label in AGES.items():
        yield id, _of_losses([one for one in tables.get("ewe_age", ()) if one.label == label], book)


def _of_losses(classes: Sequence[LossClass], book: Recorded) -> Number:
    lost, of = sum(one.loss.numerator for one in classes), sum(one.loss.denominator for one in classes)
    effect = max((one.design_effect for one in classes), default=1.0)
    return Number(lost if of else None, of or None, PER_CENT * lost / of if of >= FEW else None, "%", book, effect)


def _of_first_days(season: Season, book: Recorded) -> Number:
    """Live-born lambs lost on the day of birth or the next, of all live-born."""
    stage = next((stage for stage in life_table(season) if stage.label == BIRTH_STAGE), None)
    of = stage.of_live_born.denominator if stage else 0
    if stage is None or not of:
        return Number(None, None, None, "%", book)
    return Number(stage.lost, of, PER_CENT * stage.lost / of if of >= FEW else None, "%", book, stage.design_effect)


def _judged(measure: Measure, number: Number, figure: Figure | None, result: Result) -> Number:
    """The number with why it cannot be compared; the first reason counts."""
    why = next(filter(None, _reasons(measure, number, figure, result)), "")
    return replace(number, why=why)


def _reasons(measure: Measure, number: Number, figure: Figure | None, result: Result) -> Iterator[str]:
    if measure.since is not Since.SCANNED:
        if number.recorded is Recorded.COUNT and not number.denominator:
            yield "known by counts only: births are not recorded"
        if result.stage in (BEFORE, NOTHING):
            yield "nothing born is written yet"
        if result.stage == SO_FAR or figure is not None and figure.so_far:
            yield "ewes are still to lamb"
    if measure.since is Since.WEANED and result.stage != WEANED:
        yield "not followed to weaning yet"
    if measure.since is Since.WEANED and number.recorded is Recorded.MIXED:
        yield "known partly by lamb, by ewe or by count: there is none like it"
    if number.numerator is None or not number.denominator:
        yield "not recorded"
    elif number.denominator < FEW:
        yield f"too few to say: {number.denominator:g} {measure.of}"
    elif number.value is None:
        yield "not defined: the records disagree" if figure is not None and not figure.few else "too few to say"
    if figure is not None and not enough(figure):
        yield f"{figure.partly.split(';')[0]}: under {ENOUGH_SHOWN} known"
    if measure.id == FIRST_DAYS:
        yield _days_words(result.season)
    if measure.id in (*OF_SIZE, *AGES):
        if _half_known(measure, result.losses):
            yield f"known for under {ENOUGH_SHOWN} of the live-born lambs"
        yield _short_words(result)


def _days_words(season: Season) -> str:
    """That for too many of the lost it is not known when they went."""
    stages = life_table(season)
    lost, dated = sum(stage.lost for stage in stages), sum(stage.lost for stage in stages if stage.label != WHEN_NOT_KNOWN)
    known = not lost or Fraction(dated, lost) >= ENOUGH
    return "" if known else f"for {lost - dated} of {lost} lambs lost it is not known when"


def _short_words(result: Result) -> str:
    """That too many of the lost were only missed at a count: those have no mother, so that no class would hold them."""
    short = result.account.total("short")
    lost = short + result.account.total("died", "missing")
    if not lost or Fraction(lost - short, lost) >= ENOUGH:
        return ""
    return f"{short} of {lost} lambs lost were short at a count, and a count does not say whose they were"


def _half_known(measure: Measure, tables: Iterable[LossTable]) -> bool:
    """Whether for too many lambs it is not known in which class they belong."""
    id = "litter_size" if measure.id in OF_SIZE else "ewe_age"
    table = next((table for table in tables if table.id == id), None)
    if table is None:
        return False
    of = sum(one.loss.denominator for one in table.classes)
    named = set(AGES.values()) if id == "ewe_age" else None
    known = sum(one.loss.denominator for one in table.classes
                if (one.label.isdigit() if named is None else one.label in named))
    return bool(of) and Fraction(known, of) < ENOUGH
