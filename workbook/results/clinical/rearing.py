"""Whether a ewe reared any lamb, whatever became of the others and why."""

from template_builder.layout.choices import WhyMoved
from workbook.results.clinical import hers
from workbook.season.families import Ewe
from workbook.season.groups import Groups, lost_after_weaning
from workbook.season.season import Season


def reared_none(season: Season, ewe: Ewe) -> bool | None:
    """Whether of the lambs booked on her none is here or was sold, and none was lost only after weaning.

    None where she bore none alive, and where all hers were taken from her by choice.
    """
    if not ewe.born_alive or all(hers.why_moved(lamb) is WhyMoved.SPARE for lamb in ewe.born_alive):
        return None
    groups = Groups.of(season)
    return all(lamb.lost and not lost_after_weaning(groups, ewe, lamb) for lamb in ewe.suckled)
