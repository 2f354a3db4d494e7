"""Counts whose stage and date do not fit the dates on Groups."""

from collections.abc import Iterator

from template_builder.layout.choices import Stage
from template_builder.layout.words import shown
from workbook.results.litters.counts import WHOLE_FLOCK
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.matching import fold
from workbook.season.mating import groups
from workbook.season.season import Season

WEANING_SLACK = Limit("Days between weaning and the count at weaning", 14, "days",
                      "Lambs are counted on the day, or when they are next gathered.", "house rule")


@declare("C156", "count-at-wrong-stage", title="A count's stage does not fit its date", severity=Severity.WARNING,
         why="Lambs lost are counted by stage; a count after weaning also lacks the lambs sold since.", source="house rule",
         uses=("counts.date", "counts.stage", "groups.weaning"),
         fix="Correct the stage or date of the count, or weaning on Groups.",
         limits=(WEANING_SLACK,))
def count_at_wrong_stage(season: Season) -> Iterator[Found]:
    named = groups(season)
    for row in () if season.days_out else season.rows("counts"):
        group = named.get(fold(row.words("group")))
        weaned, day, stage = group.day("weaning") if group else None, row.day("date"), row.choice("stage", Stage)
        if group is None or weaned is None or day is None or stage is None or day > season.as_of.date():
            continue
        late = (day - weaned).days
        if late > 0 if stage is not Stage.WEANING else abs(late) > WEANING_SLACK.value:
            text = f"count at {shown(stage)} on {shown(day)}, but group {group.text('group')} was weaned on {shown(weaned)}"
            yield Found(row.at("stage"), text, shown(day), (group.at("weaning"),), row.text("group") or WHOLE_FLOCK)
