"""The one word under Trouble on Lambing beside what the columns of its own say."""

from collections.abc import Container, Iterator, Mapping

from template_builder.layout.choices import Colostrum, Help, LambingTrouble, Prolapse, WhyHelped
from template_builder.layout.columns import Value
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.words import shown
from workbook.results.clinical import hers
from workbook.rules.rule import Found, Severity, declare
from workbook.season.cells import Record, titled
from workbook.season.families import Ewe
from workbook.season.season import Season

# The columns of Lambing that may say otherwise than a word under trouble, each with the values that do.
_HELPED_FOR = {LambingTrouble.LAY_WRONG: WhyHelped.LAY_WRONG, LambingTrouble.NARROW: WhyHelped.NARROW,
               LambingTrouble.NOT_OPEN: WhyHelped.NOT_OPEN}
_OTHERWISE: Mapping[LambingTrouble, tuple[tuple[str, Container[Value]], ...]] = {
    LambingTrouble.HELPED: (("help", (Help.NONE,)),),
    **{word: (("help", (Help.NONE,)), ("why_helped", tuple(one for one in WhyHelped if one is not why)))
       for word, why in _HELPED_FOR.items()},
    LambingTrouble.PROLAPSE: (("prolapse", (Prolapse.NONE,)),),
    LambingTrouble.NO_MILK: (("colostrum", (Colostrum.PLENTY,)),),
}


@declare("C168", "trouble-contradicted", title="The word under trouble and a column of its own disagree", severity=Severity.NOTE,
         why="The column counts, the word does not, and one of the two is a slip.", source="house rule",
         uses=("lambing.trouble",), fix="Correct the column, or clear or change the word under trouble.")
def trouble_contradicted(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        if (row := ewe.lambing) and ewe.trouble and (others := list(_against(ewe, row, ewe.trouble))):
            words = ", ".join(f"{word} says {shown(record.held(column))}" for record, column, word in others)
            yield Found(row.at("trouble"), f"trouble says {ewe.trouble} for ewe {ewe.name}, but {words}", str(ewe.trouble),
                        tuple(record.at(column) for record, column, _ in others), ewe.name)


def _against(ewe: Ewe, row: Record, word: LambingTrouble) -> Iterator[tuple[Record, str, str]]:
    """Filled cells that say otherwise than the word: record, column and heading."""
    for column, values in _OTHERWISE.get(word, ()):
        if row.held(column) in values:
            yield row, column, titled(LAMBING.column(column)).lower()
    if word is LambingTrouble.REFUSED and not hers.refused(ewe):
        yield from ((lamb.record, "taken", f"taken by ewe of lamb {lamb.name}") for lamb in ewe.born_alive if lamb.named)
    if word is LambingTrouble.ABORTED and ewe.born:
        named = [lamb for lamb in ewe.born if lamb.named]
        yield from ((lamb.record, "born", f"born of lamb {lamb.name}") for lamb in named if lamb.record.filled("born"))
        yield from ((row, column, column.replace("_", " ")) for column in ("born_alive", "born_dead")
                    if not named and row.whole(column))
