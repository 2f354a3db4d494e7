"""Ewes and lambs with all that was recorded about each: the records joined by number, once."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from functools import cached_property

from template_builder.layout.choices import (
    Born,
    CameFrom,
    EweLeft,
    LambingTrouble,
    LambLeft,
    Prolapse,
    RearedBy,
    Sex,
    Trouble,
    Weighed,
)
from template_builder.layout.columns import NOT_KNOWN
from template_builder.layout.sheets.lambing import LAMBED
from workbook.season.cells import Record
from workbook.season.matching import EweNames, How, Match, fold, fold_tag, lamb_name
from workbook.season.short_words import AT_A_LOOK, trouble_of


@dataclass(frozen=True, eq=False)
class Lamb:
    """One lamb. `record` is its row on Lambs, or for an unnamed lamb the Lambing row whose count speaks of it.

    `bearer`, `came_with` and `rearer` are keys of ewes: the one that bore it here, the one it came with at foot when she was
    bought, and the one rearing it. Neither of the first two means bought in or mother not known, no rearer a pet or no ewe.
    `booked` says what the row means before anyone asks whether the rearing ewe is still there.
    """

    name: str
    record: Record
    named: bool
    born: Born
    came_from: CameFrom
    bearer: str | None
    number: int | None
    reared_by: RearedBy
    rearer: str | None
    weights: tuple[Record, ...] = ()
    came_with: str | None = None

    @property
    def own_ewe(self) -> str | None:
        """Its own ewe, by whose number it is called: the one that bore it, here or before she was bought."""
        return self.bearer or self.came_with

    @property
    def tag(self) -> str | None:
        return self.record.text("tag") if self.named else None

    @property
    def left_how(self) -> LambLeft | None:
        """How it left; a leaving date alone, or one that is not known, counts as missing."""
        if not self.named:
            return None
        how = self.record.choice("left_how", LambLeft)
        gone = how is None and (self.record.day("left_on") or self.record.held("left_on") is NOT_KNOWN)
        return LambLeft.MISSING if gone else how

    @property
    def left_on(self) -> date | None:
        return self.record.day("left_on") if self.named else None

    @property
    def moved_on(self) -> date | None:
        """The day it was set on, put on the bottle or, bought, came here."""
        return self.record.day("moved_on") if self.named else None

    @property
    def bought(self) -> bool:
        """Whether it was not born here: bought alone, or with its ewe."""
        return self.came_from in (CameFrom.BOUGHT_IN, CameFrom.WITH_HER)

    @property
    def birth_weight(self) -> float | None:
        return self.record.number("birth_weight") if self.named else None

    @property
    def sex(self) -> Sex | None:
        return self.record.choice("sex", Sex) if self.named else None

    @property
    def lost(self) -> bool:
        """Whether it died or is missing; else it is still here or was sold alive."""
        return self.left_how in (LambLeft.DIED, LambLeft.MISSING)

    def weighing(self, occasion: Weighed) -> Record | None:
        """Its last weighing of an occasion that has a weight: a lamb weighed again is as heavy as it was found last.

        One dated after the day it died or went missing is another lamb's, or that day is wrong: it rests on nothing.
        """
        taken = [row for row in self.weights if row["occasion"] is occasion and row.number("kg") is not None
                 and not self._lost_before(row.day("date"))]
        return taken[-1] if taken else None

    def _lost_before(self, day: date | None) -> bool:
        return self.lost and day is not None and self.left_on is not None and day > self.left_on

    @property
    def set_on(self) -> bool:
        """Whether it is reared by a ewe that is not its own."""
        return self.rearer is not None and self.rearer != self.own_ewe


@dataclass(frozen=True, eq=False)
class Ewe:
    """One ewe. `record` is her row on Ewes (None where she is not there), `lambing` the first Lambing row written in.

    `repeats` are further Lambing rows of hers, `doubles` further Ewes rows; neither adds anything. `lambs` are those
    she bore here, `brought` those that came with her when she was bought, `fostered` those of others set on to her. Checks
    are in order of date.
    """

    key: str
    name: str
    record: Record | None = None
    doubles: tuple[Record, ...] = ()
    lambing: Record | None = None
    laid: Record | None = None
    repeats: tuple[Record, ...] = ()
    lambs: tuple[Lamb, ...] = ()
    fostered: tuple[Lamb, ...] = ()
    checks: tuple[Record, ...] = ()
    treatments: tuple[Record, ...] = ()
    weights: tuple[Record, ...] = ()
    brought: tuple[Lamb, ...] = ()

    @property
    def family(self) -> tuple[Lamb, ...]:
        """Every lamb she may have at her side: born to her here, come with her, and set on to her."""
        return (*self.lambs, *self.brought, *self.fostered)

    @property
    def suckled(self) -> tuple[Lamb, ...]:
        """Lambs born alive that are hers to rear, whatever became of them."""
        return tuple(lamb for lamb in self.family if lamb.born is Born.ALIVE and lamb.rearer == self.key)

    @property
    def reared_together(self) -> tuple[Lamb, ...]:
        """Lambs she reared that did not die or go missing: they shared her milk to the end."""
        return tuple(lamb for lamb in self.suckled if not lamb.lost)

    @property
    def scanned(self) -> int | None:
        """Lambs scanned, from Ewes alone: Lambing only repeats it."""
        return self.record.whole("scanned") if self.record else None

    @property
    def group(self) -> str:
        """The folded name of her group on Ewes, empty where none is written; where she was turned out to is told apart."""
        return fold(self.record.words("group")) if self.record else ""

    @property
    def due(self) -> date | None:
        for record in (self.record, self.lambing, self.laid):
            if record is not None and (due := record.day("due")):
                return due
        return None

    @property
    def born(self) -> tuple[Lamb, ...]:
        """Her lambs born alive or dead; aborted and mummified are not born."""
        return tuple(lamb for lamb in self.lambs if lamb.born in BORN)

    @property
    def born_alive(self) -> tuple[Lamb, ...]:
        return tuple(lamb for lamb in self.lambs if lamb.born is Born.ALIVE)

    @property
    def lambed(self) -> bool:
        """Whether she has lambed: lambs born to her, or a Lambing row that says so."""
        return bool(self.born) or (self.lambing is not None and self.lambing.filled(*LAMBED) and not self.aborted)

    @property
    def aborted(self) -> bool:
        """Whether a lamb of hers was aborted, or a look at her found that she aborted, and none was born."""
        seen = bool(self.seen_with(Trouble.ABORTED))
        return not self.born and (seen or any(lamb.born is Born.ABORTED for lamb in self.lambs))

    @property
    def trouble(self) -> LambingTrouble | None:
        """The one word of trouble on her Lambing row."""
        return trouble_of(self.lambing)

    @property
    def prolapse(self) -> Prolapse | None:
        """The kind of prolapse written on Lambing; None where none is, or where it says that there was none."""
        kind = self.lambing.choice("prolapse", Prolapse) if self.lambing else None
        return None if kind is Prolapse.NONE else kind

    @property
    def prolapsed(self) -> bool:
        """Whether any prolapse of hers is written this season, its kind or not."""
        return self.prolapse is not None or bool(self.seen_with(Trouble.PROLAPSE))

    def seen_with(self, trouble: Trouble) -> tuple[tuple[Record, str, date | None], ...]:
        """Where it stands that she had this trouble, with the day: at looks, and in one word on Lambing.

        The word counts unless a column of its own says more of it, or the opposite.
        """
        told = [(check, "trouble", check.day("date")) for check in self.checks if check["trouble"] is trouble]
        meant, more = AT_A_LOOK.get(self.trouble, (None, "")) if self.trouble else (None, "")
        if self.lambing is not None and meant is trouble and not (more and self.lambing[more]):
            told.append((self.lambing, "trouble", self.lambed_on))
        return tuple(told)

    @property
    def delivered(self) -> bool:
        """Whether what she carried is out, however it came: she lambed, aborted, or a lamb of hers is written down."""
        return bool(self.lambs) or self.lambed or self.aborted

    @property
    def lambed_on(self) -> date | None:
        return self.lambing.day("lambed_on") if self.lambing else None

    @property
    def gone(self) -> bool:
        """Whether she has died or left."""
        return self.record is not None and self.record.filled("left_on", "left_how")

    @property
    def lost(self) -> bool:
        """Whether she died or went missing; else she is still here, or was sold or culled."""
        return self.record is not None and self.record.choice("left_how", EweLeft) in (EweLeft.DIED, EweLeft.MISSING)

    @property
    def left_on(self) -> date | None:
        return self.record.day("left_on") if self.record else None

    @property
    def first_lambing(self) -> bool:
        """Whether this is known to be her first lambing."""
        return self.record is not None and self.record.whole("lambings_before") == 0


BORN = (Born.ALIVE, Born.DEAD_FRESH, Born.DEAD_DECAYED)


@dataclass(frozen=True, eq=False)
class Flock:
    """All ewes by key, in the order first met, and all lambs in row order, with how each written number was matched."""

    names: EweNames
    ewes: Mapping[str, Ewe]
    lambs: tuple[Lamb, ...]
    unmatched: tuple[tuple[Record, str, str], ...] = field(default=())

    def ewe_of(self, record: Record, column: str = "ewe") -> Ewe | None:
        """The ewe a cell names, None where the cell is blank. Unknown numbers are ewes without a record."""
        match = self.match(record, column)
        return None if match is None else self.ewes.get(match.key)

    def mother(self, lamb: Lamb) -> Ewe | None:
        """The ewe that bore it here."""
        return self.ewe(lamb.bearer)

    def rearer(self, lamb: Lamb) -> Ewe | None:
        """The ewe it is booked on to be reared."""
        return self.ewe(lamb.rearer)

    def ewe(self, key: str | None) -> Ewe | None:
        """The ewe of a key; None where there is no ewe to name."""
        return self.ewes.get(key or "")

    def match(self, record: Record, column: str = "ewe") -> Match | None:
        written = record.text(column)
        return None if written is None else self.names.match(written)

    @cached_property
    def _by_name(self) -> Mapping[object, Lamb]:
        return lamb_keys(self.lambs)

    def lamb_called(self, written: str) -> Lamb | None:
        """The lamb that a tag, or a name such as 1042-2, means; None where no lamb answers to it."""
        return find_lamb(written, self.names, self._by_name)


def moment(record: Record, column: str, lambed_on: date | None, finished: datetime | None = None) -> datetime | None:
    """A written moment. A time alone is taken on the lambing day; later than the finish it means the day before."""
    written = record.clock(column)
    if isinstance(written, time):
        if lambed_on is None:
            return None
        written = datetime.combine(lambed_on, written)
        if finished is not None and written > finished and lambed_on > date.min:
            written -= timedelta(days=1)
    return written


def called(row: Record) -> str:
    """What a lamb's row is called: by ewe and number, else by tag, else by its place."""
    number, ewe = row.whole("lamb_no"), row.text("ewe")
    return f"{ewe}-{number}" if ewe and number is not None else row.text("tag") or f"lamb in row {row.row}"


def lamb_keys(lambs: Iterable[Lamb]) -> dict[object, Lamb]:
    found: dict[object, Lamb] = {}
    for lamb in lambs:
        found.setdefault((lamb.own_ewe, lamb.number), lamb)  # nobody calls for a blank ewe or number
        if lamb.tag:
            found.setdefault(fold_tag(lamb.tag), lamb)
    return found


def find_lamb(written: str, names: EweNames, by_key: Mapping[object, Lamb]) -> Lamb | None:
    if parts := lamb_name(written):
        lamb = by_key.get((names.match(parts[0]).key, parts[1]))
        if lamb is not None:
            return lamb
    return by_key.get(fold_tag(written))


__all__ = ["BORN", "Ewe", "Flock", "How", "Lamb", "moment"]
