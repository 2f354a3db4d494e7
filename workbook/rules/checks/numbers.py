"""Numbers that name no ewe, lamb or group, or more than one."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from template_builder.layout.choices import TreatedFor
from template_builder.layout.words import so_many, so_many_are
from workbook.rules.checks.lamb_rows import with_rows
from workbook.rules.rule import Found, Limit, Severity, declare
from workbook.season.cells import Record
from workbook.season.matching import How, Match, fold, fold_tag
from workbook.season.mating import groups
from workbook.season.row_names import row_name
from workbook.season.season import Season

LONGEST_NAME = 40  # characters; a longer one is no slip of a number or a group
NEAR_SHOWN = Limit("Similar numbers shown", 3, "numbers", "More would be no help.", "house rule")


def slips(number: str, letters: frozenset[str]) -> set[str]:
    """All numbers one slip away: a character missing, added, mistaken, or two neighbours swapped."""
    cuts = [(number[:at], number[at:]) for at in range(len(number) + 1)]
    missing = {left + right[1:] for left, right in cuts if right}
    added = {left + letter + right for left, right in cuts for letter in letters}
    mistaken = {left + letter + right[1:] for left, right in cuts if right for letter in letters}
    swapped = {left + right[1] + right[0] + right[2:] for left, right in cuts if len(right) > 1}
    return missing | added | mistaken | swapped


@dataclass(frozen=True)
class Known:
    """Names that may be meant where an unknown one is written."""

    by_key: Mapping[str, str]
    letters: frozenset[str]

    @classmethod
    def of(cls, names: Iterable[str]) -> "Known":
        by_key = {fold(name): name for name in names}
        return cls(by_key, frozenset("".join(by_key)))

    @classmethod
    def ewes(cls, season: Season) -> "Known":
        return cls.of(ewe.name for ewe in season.flock.ewes.values() if ewe.record)

    def near(self, written: str) -> str:
        """The names one slip away, as the end of a sentence: "; similar: 0412"; empty where there are none."""
        if len(written) > LONGEST_NAME:
            return ""
        close = sorted(slips(fold(written), self.letters) & self.by_key.keys())
        names = ", ".join(self.by_key[key] for key in close[: int(NEAR_SHOWN.value)])
        return f"; similar: {names}" if names else ""


def ewe_numbers(season: Season) -> Iterator[tuple[Record, str, str]]:
    """Every cell outside Ewes that names a ewe: record, column and number. Untouched rows name none."""
    for sheet, column in (("lambing", "ewe"), ("lambs", "ewe"), ("lambs", "foster_ewe"), ("ewe_check", "ewe")):
        for row in season.rows(sheet):
            if row.touched and (number := row.text(column)):
                yield row, column, number
    for row in season.rows("treatments"):
        if row["given_to"] is TreatedFor.EWE and (number := row.text("animal")):
            yield row, "animal", number


def weighed_ewes(season: Season) -> Iterator[tuple[Record, str, str]]:
    """Every weighing that is not of a lamb: record, column and number."""
    for row in season.rows("weights"):
        if (number := row.text("animal")) and season.flock.lamb_called(number) is None:
            yield row, "animal", number


def matches(season: Season, how: How) -> Iterator[tuple[Record, str, str, Match]]:
    """The cells that name a ewe, weighings with them, whose number was matched in one way."""
    for source in (ewe_numbers(season), weighed_ewes(season)):
        for row, column, number in source:
            match = season.flock.names.match(number)
            if match.how is how:
                yield row, column, number, match


@declare("C103", "ewe-twice", title="A ewe stands twice on Ewes", severity=Severity.ERROR,
         why="She would count as two ewes; only her first row is used.", source="house rule", uses=("ewes.ewe",),
         fix="Delete the row that is too many, or correct its number.")
def ewe_twice(season: Season) -> Iterator[Found]:
    for ewe in season.flock.ewes.values():
        for row in ewe.doubles:
            if ewe.record:
                text = f"ewe {ewe.name} is already in row {ewe.record.row}{unlike(ewe.record, row, 'group')}"
                yield Found(row.at("ewe"), text, ewe.name, (ewe.record.at("ewe"),), ewe.name)


def unlike(first: Record, row: Record, column: str) -> str:
    """The end of a sentence on two rows of one ewe that name different groups; empty where they do not."""
    there, here = first.text(column), row.text(column)
    return f", in group {there} there and {here} here" if there and here and fold(there) != fold(here) else ""


@declare("C105", "ewe-unknown", title="A ewe is not on Ewes", severity=Severity.ERROR,
         why="What is written here belongs to no scanned ewe, so the litters of two ewes come out wrong.",
         source="house rule", uses=("ewes.ewe",), fix="Correct the number, or add the ewe to Ewes.")
def ewe_unknown(season: Season) -> Iterator[Found]:
    known = Known.ewes(season)
    for row, column, number in ewe_numbers(season):
        if column != "foster_ewe" and season.flock.names.match(number).how is How.UNKNOWN:
            yield Found(row.at(column), f"ewe {number} is not on Ewes{known.near(number)}", number,
                        row_name=row_name(row))


@declare("C106", "foster-ewe-unknown", title="A foster ewe is not on Ewes", severity=Severity.ERROR,
         why="The lamb is booked to a ewe nobody knows, and the ewe that rears it gets no credit.", source="house rule",
         uses=("ewes.ewe", "lambs.foster_ewe"), fix="Correct the number, or add the ewe to Ewes.")
def foster_ewe_unknown(season: Season) -> Iterator[Found]:
    known = Known.ewes(season)
    for lamb in with_rows(season):
        number = lamb.record.text("foster_ewe")
        if number and season.flock.names.match(number).how is How.UNKNOWN:
            yield Found(lamb.record.at("foster_ewe"), f"foster ewe {number} is not on Ewes{known.near(number)}", number,
                        row_name=lamb.name)


@declare("C108", "number-short-of-zeros", title="Numbers match except for leading zeros", severity=Severity.NOTE,
         why="A sheet whose cells are numbers drops leading zeros. They were joined, as only one ewe fits.",
         source="house rule", uses=("ewes.ewe",), fix="Write the numbers as on Ewes, or leave them: nothing is lost.")
def number_short_of_zeros(season: Season) -> Iterator[Found]:
    by_sheet: dict[str, list[tuple[Record, str, str, Match]]] = defaultdict(list)
    for found in matches(season, How.ZEROS):
        by_sheet[found[0].sheet_id].append(found)
    for several in by_sheet.values():
        row, column, number, match = several[0]
        name = season.flock.ewes[match.key].name
        what = so_many_are(len(several), "number", "differs", "differ")
        yield Found(row.at(column), f"{what} from Ewes only by leading zeros, first {number} for {name}", number,
                    tuple(row.at(column) for row, column, _, _ in several[1:]), row_name(row))


@declare("C109", "number-fits-two-ewes", title="A number fits more than one ewe", severity=Severity.ERROR,
         why="Nobody but you can say which ewe is meant; the row is booked to none of them.", source="house rule",
         uses=("ewes.ewe",), fix="Write the number exactly as it stands on Ewes.")
def number_fits_two_ewes(season: Season) -> Iterator[Found]:
    for row, column, number, _ in matches(season, How.TWO_FIT):
        ewes = [ewe for ewe in season.rows("ewes") if _answers(ewe, number)]
        names = ", ".join(dict.fromkeys(ewe.words("ewe") for ewe in ewes))
        yield Found(row.at(column), f"{number} fits more than one ewe: {names}", number,
                    tuple(ewe.at("ewe") for ewe in ewes), row_name(row))


def _answers(ewe: Record, number: str) -> bool:
    """Whether this may be the ewe, by another number of hers or but for leading zeros."""
    others = [ewe.text("official_tag"), ewe.text("also_known_as")]
    if any(other and fold_tag(other) == fold_tag(number) for other in others):
        return True
    name, written = fold(ewe.words("ewe")), fold(number)
    return name.isdigit() and written.isdigit() and name.lstrip("0") == written.lstrip("0")


@declare("C123", "weighed-animal-unknown", title="A weighing is of an animal nobody knows", severity=Severity.ERROR,
         why="The weight is lost: it counts for no lamb and no ewe.", source="house rule", uses=("weights.animal", "lambs.tag"),
         fix="Write the lamb's tag, the lamb as 1042-2, or the ewe as on Ewes.")
def weighed_animal_unknown(season: Season) -> Iterator[Found]:
    lambs = [lamb.tag or lamb.name for lamb in season.flock.lambs]
    known = Known.of(lambs + [ewe.name for ewe in season.flock.ewes.values() if ewe.record])
    unknown: dict[str, list[tuple[Record, str, str]]] = defaultdict(list)
    for row, column, written in season.flock.unmatched:
        if row.sheet_id == "weights" and season.flock.names.match(written).how is How.UNKNOWN:
            unknown[fold_tag(written)].append((row, column, written))
    for (row, column, written), *others in unknown.values():
        more = f" (and {so_many(len(others), 'more row')})" if others else ""
        yield Found(row.at(column), f"{written} is neither a lamb on Lambs nor a ewe on Ewes{known.near(written)}{more}", written,
                    tuple(other.at(name) for other, name, _ in others), written)


@declare("C128", "group-unknown", title="A group is not on Groups", severity=Severity.WARNING,
         why="Its ewes are left out of every figure per ewe to the ram.", source="house rule", uses=("groups.group",),
         fix="Add the group to Groups, or correct the name.")
def group_unknown(season: Season) -> Iterator[Found]:
    named = groups(season)
    known = Known.of(row.words("group") for row in named.values())
    for sheet, column in (("ewes", "group"), ("lambing", "turned_out_to"), ("counts", "group")):
        unknown: dict[str, list[Record]] = defaultdict(list)
        for row in season.rows(sheet):
            if (name := row.text(column)) and fold(name) not in named:
                unknown[fold(name)].append(row)
        for first, *more in unknown.values():
            name = first.words(column)
            also = f" (and {so_many(len(more), 'more row')})" if more else ""
            yield Found(first.at(column), f"group {name} is not on Groups{known.near(name)}{also}", name,
                        tuple(row.at(column) for row in more), name)
