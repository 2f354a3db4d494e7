"""What Ewes says against itself, Lambing and Groups: scans that differ, too many lambings for her age, too small a group."""

from collections import Counter
from collections.abc import Iterator

from template_builder.layout.sheets.ewes import EWES
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.words import so_many
from workbook.rules.checks.layout_slips import sorted_alone
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.ages import FIRST_AGE, years_since_birth
from workbook.season.mating import groups
from workbook.season.season import Season


@declare("C153", "scan-copies-differ", title="Scanned on Lambing is not as on Ewes", severity=Severity.NOTE,
         why="Only the number on Ewes is counted; the one on Lambing is what people saw at lambing.", source="house rule",
         uses=("lambing.scanned", "ewes.scanned"), fix="Write the right number on Ewes; the one on Lambing may stay.")
def scan_copies_differ(season: Season) -> Iterator[Found]:
    """Quiet where a column was sorted without the others: that is one error of its own."""
    found = list(_unlike_copies(season))
    if found and not sorted_alone(season, LAMBING) and not sorted_alone(season, EWES):
        yield from found


def _unlike_copies(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        row, copied = ewe.laid, ewe.laid.whole("scanned") if ewe.laid else None
        if row and ewe.record and copied is not None and ewe.scanned is not None and copied != ewe.scanned:
            yield Found(row.at("scanned"), f"ewe {ewe.name}: scanned says {copied} here, but {ewe.scanned} on Ewes", str(copied),
                        (ewe.record.at("scanned"),), ewe.name)


LEAST_AGE = Limit("Youngest age at a first lambing", FIRST_AGE, "year", "Ewe lambs lamb at about one year.",
                  "common practice, no source")


@declare("C154", "more-lambings-than-years", title="A ewe has lambed more often than she has years", severity=Severity.WARNING,
         why="Her age or her lambings before are wrong; a first lambing is judged more gently.", source="house rule",
         uses=("ewes.born_year", "ewes.lambings_before"), fix="Correct the year she was born, or her lambings before.",
         limits=(LEAST_AGE,))
def more_lambings_than_years(season: Season) -> Iterator[Found]:
    year = season.year
    for ewe in season.flock.ewes.values():
        row, age = ewe.record, years_since_birth(season, ewe)
        if row is None or age is None:
            continue
        # A ewe born last year can lamb for the first time now, one born the year before for the second.
        born, before, could = year - age, row.whole("lambings_before"), age - FIRST_AGE
        if before and before > max(could, 0):
            most = f"at most {could}" if could > 0 else "none"
            text = f"ewe {ewe.name}, born {born}, has {so_many(before, 'lambing')} before {year}, but can have had {most}"
            yield Found(row.at("lambings_before"), text, str(before), (row.at("born_year"),), ewe.name)
        elif could < 0 and ewe.lambed:
            yield Found(row.at("born_year"), f"ewe {ewe.name}, born {born}, has lambed in {year}", str(born), (), ewe.name)


@declare("C160", "group-smaller-than-its-ewes", title="A group has more ewes than went to the ram", severity=Severity.WARNING,
         why="Percentages per ewe to the ram come out too high.", source="house rule",
         uses=("groups.ewes_to_ram", "ewes.group"), fix="Correct ewes to the ram, or the group of some ewes.")
def group_smaller_than_its_ewes(season: Season) -> Iterator[Found]:
    listed = Counter(ewe.group for ewe in season.flock.ewes.values())
    for name, row in groups(season).items():
        to_ram = row.whole("ewes_to_ram")
        if to_ram is not None and listed[name] > to_ram:
            text = f"group {row.text('group')}: {to_ram} went to the ram, but {listed[name]} are on Ewes"
            yield Found(row.at("ewes_to_ram"), text, str(to_ram), (), row.words("group"))
