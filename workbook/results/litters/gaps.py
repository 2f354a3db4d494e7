"""In lambs, not per cent: how many more lambs there would be had a loss been as the farm's own target or as last season.

A loss is held against the farm's own target on Season; where none is set, against last season's figure typed there; where
there is neither, one class of the flock is held against another ("if triplets had been lost like twins"), where they differ
by more than chance, and the words say so. Gaps overlap (a triplet lost is in the total loss too) and are not to be added up.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from template_builder.layout.choices import Cause, LambLeft
from template_builder.layout.words import so_many
from workbook.results.litters.account import Account
from workbook.results.litters.contrasts import CLASS_OF, Contrast, Side, contrasts
from workbook.results.litters.figure import Figure
from workbook.results.litters.known import enough
from workbook.results.litters.lamb_classes import NOT_RECORDED
from workbook.results.litters.losses import LossTable
from workbook.results.statistics.proportions import FEW, PER_CENT, widened_wilson
from workbook.season.cells import CellRef
from workbook.season.season import Season, Settings

MOST = 5  # gaps shown
LEAST = 1.0  # lambs; a smaller gap is none (house rule)
TARGET, LAST, WITHIN = "own target", "last season", "within the flock"
MAY_BE_CHANCE = "may be chance"  # the figure held against lies within the 95 % interval of what was counted
ADD_UP = "Gaps overlap: a triplet lost is in the total loss too. Do not add them up."


@dataclass(frozen=True)
class Gap:
    """`lambs` more there would be had `of` animals done as `reference` per cent (per 100 ewes for lambs reared).

    `against` says whose figure that is: "own target", "last season" or "within the flock". `note` says whether it
    may be chance, and what was not recorded.
    """

    words: str
    lambs: float
    of: int
    against: str
    note: str
    id: str
    counted: float = 0.0
    reference: float = 0.0


class _Reference(NamedTuple):
    """A figure to be held against, in per cent."""

    value: float
    against: str

    @property
    def words(self) -> str:
        whose = "had met the farm's own target" if self.against == TARGET else "had been as last season"
        return f"{whose} ({self.value:g} %)"


# The settings a measure is held against: own target, last season; "" where there is no such setting.
SETTINGS: Mapping[str, tuple[str, str]] = {
    "total_loss_pct": ("target_loss", "last_loss"),
    "reared_pct": ("target_reared", "last_reared"),
    "stillbirth_pct": ("target_stillborn", "last_stillborn"),
    "empty_pct": ("target_empty", "last_empty"),
    "singles": ("", "last_loss_singles"),
    "twins": ("", "last_loss_twins"),
    "triplets": ("target_loss_triplets", "last_loss_triplets"),
}
# Litter sizes born of each class: the least and the most.
SIZES: Mapping[str, tuple[str, int, float]] = {
    "singles": ("singles", 1, 1), "twins": ("twins", 2, 2), "triplets": ("triplets or more", 3, inf),
}
# Comparisons within the flock that are not made where a class has a figure of its own to be held against.
INSTEAD: Mapping[str, str] = {"triplets_v_twins": "triplets", "twins_v_singles": "twins"}


def gaps(
    season: Season, account: Account, figures: Iterable[Figure], losses: Sequence[LossTable],
    compared: Sequence[Contrast] | None = None,
) -> tuple[Gap, ...]:
    """The biggest gaps in lambs, biggest first, at most five. `compared` are the flock's contrasts where already made."""
    known = {figure.id: figure for figure in figures}
    held = {id: to for id in SETTINGS if (to := _reference(season.settings, id))}
    found = [*_of_flock(season, account, known, held, losses), *_of_litters(held, losses),
             *_within(contrasts(season) if compared is None else compared, held)]
    large = [gap for gap in found if gap.lambs >= LEAST]
    return tuple(sorted(large, key=lambda gap: (-gap.lambs, gap.id))[:MOST])


def _reference(settings: Settings, id: str) -> _Reference | None:
    """The farm's own target, else last season's figure, else nothing."""
    for setting, against in zip(SETTINGS[id], (TARGET, LAST), strict=True):
        value = settings.maybe(setting) if setting else None
        if value is not None:
            return _Reference(value, against)
    return None


def _of_flock(
    season: Season, account: Account, figures: Mapping[str, Figure], held: Mapping[str, _Reference], losses: Sequence[LossTable],
) -> Iterator[Gap]:
    """Gaps of the figures of the whole flock."""
    for id in ("total_loss_pct", "stillbirth_pct", "empty_pct", "reared_pct"):
        figure = figures.get(id)
        if id not in held or figure is None or not figure.denominator or figure.numerator is None or figure.value is None:
            continue
        if figure.few or not enough(figure):
            continue
        counted, of, to = figure.numerator, int(figure.denominator), held[id]
        more = counted - to.value * of / PER_CENT
        chance = _chance(figure.low, figure.high, to.value)
        first = (chance, "so far only" if figure.so_far else "")
        match id:
            case "total_loss_pct":
                words = _said("the total loss", to, more, f"{counted:g} of {of} known lambs were lost", counted, of)
                yield Gap(words, more, of, to.against, _joined(*first, _causes(losses)), id, counted, to.value)
            case "stillbirth_pct":
                words = _said("the share born dead", to, more, f"{counted:g} of {of} lambs were born dead", counted, of)
                yield Gap(words, more, of, to.against, _joined(*first, _births(season)), id, counted, to.value)
            case "empty_pct":
                scanned = f"scan for {of} of {len(season.flock.ewes)} ewes"
                yield _of_empties(more, counted, of, to, figures, _joined(chance, scanned))
            case "reared_pct" if not figure.so_far:  # lambs may still be born: no gap yet
                yield _of_reared(-more, counted, of, to, account)


def _of_empties(ewes: float, counted: float, of: int, to: _Reference, figures: Mapping[str, Figure], note: str) -> Gap:
    """Empty ewes turned into the lambs that as many ewes in lamb were scanned with."""
    litter = figures["litter_scanned"].value or 0.0
    words = (f"If the share of empty ewes {to.words}, {_more(ewes * litter)} scanned: {counted:g} of {of} ewes were "
             f"scanned empty ({PER_CENT * counted / of:.1f} %), the others carried {litter:.2f} each.")
    return Gap(words, ewes * litter, of, to.against, note, "empty_pct", counted, to.value)


def _of_reared(more: float, counted: float, of: int, to: _Reference, account: Account) -> Gap:
    words = (f"If lambs reared per 100 ewes to the ram {to.words}, {_more(more)}: {counted:g} were reared by {of} ewes "
             f"to the ram ({PER_CENT * counted / of:.1f} %).")
    seen, present = account.total("present_seen"), account.total("present")
    note = f"{seen} of {present} lambs still here were seen at a weighing, a count or turnout" if present else ""
    return Gap(words, more, of, to.against, note, "reared_pct", counted, to.value)


def _of_litters(held: Mapping[str, _Reference], losses: Sequence[LossTable]) -> Iterator[Gap]:
    """Gaps in the loss of live-born singles, twins and triplets."""
    table = next((table for table in losses if table.id == "litter_size"), None)
    if table is None:
        return
    for id, (name, least, most) in SIZES.items():
        classes = [item for item in table.classes if item.label.isdigit() and least <= int(item.label) <= most]
        of, counted = sum(item.loss.denominator for item in classes), sum(item.loss.numerator for item in classes)
        if id in held and of >= FEW:
            to = held[id]
            more = counted - to.value * of / PER_CENT
            words = _said(f"the loss of live-born {name}", to, more, f"{counted:g} of {of} were lost", counted, of)
            lost = widened_wilson(counted, of, max(item.design_effect for item in classes))
            chance = _chance(lost.low, lost.high, to.value / PER_CENT)
            note = _joined(chance, _causes(losses, {row for item in classes for row in item.rows}))
            yield Gap(words, more, of, to.against, note, id, counted, to.value)


def _within(compared: Iterable[Contrast], held: Mapping[str, _Reference]) -> Iterator[Gap]:
    """One class of the flock held against another where that is no chance; of rams and groups only the biggest gap."""
    biggest: dict[str, Gap] = {}
    for contrast in compared:
        better = not contrast.either and _share(contrast.first) <= _share(contrast.second)
        if contrast.by_chance or better or INSTEAD.get(contrast.id) in held:
            continue
        gap, kind = _like_the_other(contrast), contrast.id.partition(CLASS_OF)[0]
        if kind not in biggest or gap.lambs > biggest[kind].lambs:
            biggest[kind] = gap
    yield from biggest.values()


def _like_the_other(contrast: Contrast) -> Gap:
    """What it costs that the worse of two classes was not lost like the better."""
    worse, better = sorted((contrast.first, contrast.second), key=lambda side: -_share(side))
    counted, of, share = worse.loss.numerator, worse.loss.denominator, _share(better)
    more = counted - of * share
    words = (f"Within the flock: if {worse.name} had been lost like {better.name} ({PER_CENT * share:.1f} %), {_more(more)}: "
             f"{counted:g} of {of} were lost ({PER_CENT * counted / of:.1f} %).")
    return Gap(words, more, of, WITHIN, contrast.note, contrast.id, counted, PER_CENT * share)


def _chance(low: float | None, high: float | None, held: float) -> str:
    """That the figure held against lies within the 95 % interval of what was counted."""
    return MAY_BE_CHANCE if low is not None and high is not None and low <= held <= high else ""


def _joined(*notes: str) -> str:
    return "; ".join(filter(None, notes))


def _share(side: Side) -> float:
    return side.loss.value or 0.0


def _said(what: str, to: _Reference, lambs: float, counted_words: str, counted: float, of: int) -> str:
    return f"If {what} {to.words}, {_more(lambs)}: {counted_words} ({PER_CENT * counted / of:.1f} %)."


def _more(lambs: float) -> str:
    return so_many(round(lambs), "more lamb")


def _causes(losses: Sequence[LossTable], of: set[CellRef] | None = None) -> str:
    """For how many dead lambs (all, or those whose rows are given) a cause is known."""
    table = next((table for table in losses if table.id == "cause"), None)
    if table is None or of is None:
        return table.note if table else ""
    unknown = (Cause.NOT_KNOWN.label, NOT_RECORDED)
    dead = [(item.label, row) for item in table.classes if item.label != LambLeft.MISSING.label for row in item.rows if row in of]
    known = sum(label not in unknown for label, _ in dead)
    return f"causes for {known} of {len(dead)} dead" if dead else ""


def _births(season: Season) -> str:
    """How many lambs count as born alive only because nobody wrote how they were born."""
    blank = sum(lamb.named and not lamb.bought and lamb.record["born"] is None for lamb in season.flock.lambs)
    return f"born alive or dead not written for {so_many(blank, 'lamb')}, counted as alive" if blank else ""
