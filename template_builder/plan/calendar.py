"""What falls due before lambing: days counted back from the first due day of each feeding group."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from template_builder.plan.groups import Division, InLamb

# What is done, by the setting that says how many days before the first due day; from the first to the last.
TASKS: Mapping[str, str] = {
    "mineral_check": "Minerals and feed: talk them over with your adviser",
    "thin_look": "Second look, for thin ewes",
    "booster": "Booster, as your vet and the label say",
    "housing": "House or move",
    "helpers": "Helpers turn in",
}

COUNTED_BACK = ("Days are counted back from the first due day of each group. "
                "What your vet and adviser say stands above them.")


class Due(NamedTuple):
    """What falls due on a day for a group of ewes."""

    on: date
    task: str
    group: str
    ewes: int

    @property
    def week(self) -> date:
        """The Monday of its week."""
        return self.on - timedelta(days=self.on.weekday())


def first_due(ewes: Sequence[InLamb], division: Division) -> list[date | None]:
    """The first due day of each group; None where no ewe of it has one."""
    days: list[date | None] = [None] * len(division.parts)
    for ewe, group, week in zip(ewes, division.of_ewes, division.weeks, strict=True):
        if week and ewe.due:
            days[group - 1] = min(days[group - 1] or ewe.due, ewe.due)
    return days


def calendar(ewes: Sequence[InLamb], division: Division, before: Mapping[str, float]) -> list[Due]:
    """Everything that falls due, by day, then by task and group; `before` gives the days of each task."""
    found = [
        Due(day - timedelta(days=int(before[task])), task, part.title, division.of_ewes.count(number))
        for task in TASKS
        for number, (part, day) in enumerate(zip(division.parts, first_due(ewes, division), strict=True), start=1) if day
    ]
    return sorted(found, key=lambda due: due.on)
