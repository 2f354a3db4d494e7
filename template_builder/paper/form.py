"""What is asked at a lambing and how wide each answer is: the columns of Lambing and Lambs that are printed, in their order."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import zip_longest

from template_builder.layout.choices import WeightUnit
from template_builder.layout.columns import LINE, Column, Kind, Sheet, Start
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.paper.pages import NOTES_AT_LEAST, REST, PaperColumn, asked, filled

NOTES = "notes"  # stand last, in the room that is left
# Pixels to write in; a word of a list as its longest needs, between these, as the notes leave.
_ROOM = {Kind.DATE: 58, Kind.MOMENT: 58, Kind.WHOLE: 34, Kind.NUMBER: 42, Kind.IDENTIFIER: 44}
_TAG, _SHORT_WORD, _LONG_WORD = 62, 38, 60
_LETTER, _EDGES = 6.3, 6  # pixels of a heading: a letter of its longest word, the cell's edges
_NOTHING = PaperColumn("", 0)

Under = tuple[int, int, PaperColumn]  # first and last column, and what stands there


def typed(sheet: Sheet, start: Start, *, lead: Sequence[str] = ()) -> tuple[Column, ...]:
    """The columns of a sheet that are typed from paper: those printed and in sight, without its lead and its notes."""
    left_out = (*lead, NOTES, LINE.id)
    return tuple(column for column in sheet if column.printed and column.shown(start) and column.id not in left_out)


def on_paper(sheet: Sheet, columns: Sequence[Column], unit: WeightUnit, word: int = _LONG_WORD) -> tuple[PaperColumn, ...]:
    """These columns as wide as a pencil needs, no list wider than `word`, and as the longest word of their headings."""
    return tuple(asked(sheet.address(column), _pixels(column, unit, word), unit=unit) for column in columns)


def _pixels(column: Column, unit: WeightUnit, word: int) -> int:
    heading = _written(word for word in column.in_unit(unit).title.split())
    if column.choices:
        return max(heading, _SHORT_WORD, min(word, _written(choice.label for choice in column.choices)))
    return max(heading, _TAG if column.id == "tag" else _ROOM.get(column.kind, 0))


def _written(words: Iterable[str]) -> int:
    """The pixels that the longest of these words takes."""
    return round(max(map(len, words)) * _LETTER) + _EDGES


@dataclass(frozen=True)
class Form:
    """A block of rows for one lambing.

    `lead` says whose it is, `under` what stands below it in the second row. In the columns `above` stands what is asked first
    about the ewe, one row lower what is `below`; `lambs` has a row for each lamb. So a block is as high as its lambs, and
    both read in the order of the screen.
    """

    lead: tuple[PaperColumn, ...]
    above: tuple[PaperColumn, ...]
    below: tuple[PaperColumn, ...]
    lambs: tuple[PaperColumn, ...]
    under: tuple[Under, ...] = ()

    @classmethod
    def of(
        cls, lead: Sequence[PaperColumn], start: Start, unit: WeightUnit, under: Sequence[Under] = (),
    ) -> "Form":
        """The form whose answers have most room while notes keep theirs."""
        forms = (cls._with(lead, start, unit, under, word) for word in range(_LONG_WORD, _SHORT_WORD, -1))
        return next((form for form in forms if form.columns[-1].pixels >= NOTES_AT_LEAST),
                    cls._with(lead, start, unit, under, _SHORT_WORD))

    @classmethod
    def _with(
        cls, lead: Sequence[PaperColumn], start: Start, unit: WeightUnit, under: Sequence[Under], word: int,
    ) -> "Form":
        ewe = on_paper(LAMBING, typed(LAMBING, start, lead=("ewe", "scanned", "due")), unit, word)
        half = -(-len(ewe) // 2)
        above, below = [], []
        for upper, lower in zip_longest(ewe[:half], ewe[half:], fillvalue=_NOTHING):
            pixels = max(upper.pixels, lower.pixels)
            above.append(upper._replace(pixels=pixels))
            below.append(lower._replace(pixels=pixels))
        lambs = on_paper(LAMBS, typed(LAMBS, start, lead=("ewe",)), unit, word)
        return cls(tuple(lead), tuple(above), tuple(below), lambs, tuple(under))

    @cached_property
    def columns(self) -> tuple[PaperColumn, ...]:
        """All of them as wide as the page; what is below stands in the columns of what is above."""
        notes = PaperColumn(LAMBING.column(NOTES).title, REST, (f"lambing.{NOTES}", f"lambs.{NOTES}"))
        return filled((*self.lead, *self.above, *self.lambs, notes))

    @property
    def ewe_places(self) -> range:
        """The numbers of the columns in which something is asked about the ewe."""
        return range(len(self.lead) + 1, len(self.lead) + len(self.above) + 1)

    @property
    def lamb_no(self) -> int:
        """The number of the column that says which lamb."""
        return len(self.lead) + len(self.above) + 1

    @property
    def asks(self) -> tuple[PaperColumn, ...]:
        """Every column once, those below too, as they are read."""
        under = (column for _, _, column in self.under)
        return (*self.lead, *under, *self.above, *self.below, *self.columns[self.lamb_no - 1:])
