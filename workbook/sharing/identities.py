"""The rows of a season as they may leave the farm. Only what is declared harmless stays; all else is replaced or left out."""

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from functools import cache
from itertools import pairwise

from template_builder.layout.choices import TreatedFor
from template_builder.layout.columns import NOT_KNOWN, ROW_KEY, Column, Kind, Row, Sheet, Value
from template_builder.layout.laying import row_key
from template_builder.layout.policy import RULES, WEIGHTS
from template_builder.layout.settings import SETTING
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.words import shown, so_many
from workbook.season.cells import Record
from workbook.season.matching import fold, fold_tag, lamb_name
from workbook.season.season import Season
from workbook.sharing.aliases import Aliases, lettered, numbered
from workbook.sharing.key import Key


class Keep(Enum):
    """What may stay as written, if asked for."""

    EWE_NUMBERS = "ewe-numbers"
    GROUP_NAMES = "group-names"
    RAM_NAMES = "ram-names"
    BREEDS = "breeds"
    PEOPLE = "people"
    TAGS = "tags"
    FLOCK_NAME = "flock-name"
    PRODUCTS = "products"
    NOTES = "notes"


_GOES_OUT = tuple(sheet for sheet in (*SHEETS, LEFT) if sheet is not ANSWERS)  # the words of Answers quote the records
_EWES = frozenset({"ewes.ewe", "lambing.ewe", "lambs.ewe", "lambs.foster_ewe", "ewe_check.ewe", "left.ewe"})
_GROUPS = frozenset({"ewes.group", "groups.group", "lambing.turned_out_to", "counts.group"})
_RAMS = frozenset({"ewes.ram"})
_BREEDS = frozenset({"ewes.breed", "groups.ram_breed"})
_PEOPLE = frozenset({"lambing.recorded_by", "treatments.given_by"})
_PENS = frozenset({"lambing.pen"})
_ANIMALS = frozenset({"weights.animal", "treatments.animal"})
_TAGS = frozenset({"ewes.official_tag", "ewes.also_known_as", "lambs.electronic_tag", "left.official_tag", "left.also_known_as"})
_PRODUCTS = frozenset({"treatments.product", "treatments.batch", "treatments.amount"})
_FIXED = frozenset({*SETTING, *(rule.id for rule in RULES), *(weight.id for weight in WEIGHTS)})
_AS_TEXT = (Kind.IDENTIFIER, Kind.TEXT)
_TOO_LONG = 100_000
_WORD = re.compile(r"\w+")
_SMALL_NUMBER = re.compile(r"\d{1,2}|(19|20)\d\d")


@dataclass
class Shared:
    """Rows by sheet id as they may go out, in the order of the records, the key to them, the aliases given, how many cells were
    left out by heading, and how many problems stay answered."""

    rows: dict[str, Sequence[Row]]
    key: Key
    aliases: tuple[Aliases, ...] = ()
    emptied: Counter[str] = field(default_factory=Counter)
    left_out: tuple[str, ...] = ()
    answered: int = 0


def without_identities(season: Season, keep: Collection[Keep] = (), key: Key | None = None) -> Shared:
    """The season's rows with every identity replaced, and with nothing in them that no column is declared for.

    With the `key` of an earlier copy every name that is in it keeps its alias.
    """
    return _Sharing(season, frozenset(keep), key or Key.new(season.settings.text("flock"))).shared()


class _Sharing:
    """One season being made fit to share."""

    def __init__(self, season: Season, keep: Collection[Keep], key: Key) -> None:
        self.season, self.keep, self.key = season, keep, key
        self.emptied: Counter[str] = Counter()
        self.ewes = Aliases("ewe", numbered("E"), Keep.EWE_NUMBERS in keep, self._ewe_key)
        self.lambs = Aliases("lamb tag", numbered("L", 4), Keep.TAGS in keep, fold_tag)
        self.groups = Aliases("group", lettered("Group"), Keep.GROUP_NAMES in keep)
        self.rams = Aliases("ram", lettered("Ram"), Keep.RAM_NAMES in keep)
        self.breeds = Aliases("breed", lettered("Breed"), Keep.BREEDS in keep)
        self.people = Aliases("person", lettered("Person"), Keep.PEOPLE in keep)
        self.pens = Aliases("pen", numbered("P", 2), Keep.GROUP_NAMES in keep)
        self.others = Aliases("unknown animal", numbered("X"))
        self.by_column: Mapping[str, Aliases] = {
            **dict.fromkeys(_EWES, self.ewes), **dict.fromkeys(_GROUPS, self.groups), **dict.fromkeys(_RAMS, self.rams),
            **dict.fromkeys(_BREEDS, self.breeds), **dict.fromkeys(_PEOPLE, self.people), **dict.fromkeys(_PENS, self.pens),
            "lambs.tag": self.lambs,
        }
        self.kinds = (self.ewes, self.lambs, self.groups, self.rams, self.breeds, self.people, self.pens, self.others)
        taken = _words(season) | {fold(one.alias) for one in key.names}
        for kind in self.kinds:
            kind.taken = taken
            kind.met_before(key.names)

    def _ewe_key(self, name: str) -> str:
        return self.season.flock.names.match(name).key

    def shared(self) -> Shared:
        """All sheets that go out."""
        self._meet()
        rows: dict[str, Sequence[Row]] = {
            sheet.id: [self._row(sheet, row) for row in self.season.rows(sheet.id)
                       if not sheet.fixed_rows or row.key in _FIXED]
            for sheet in _GOES_OUT
        }
        return Shared(rows, self._key(), self.kinds, self.emptied, tuple(self._left_out()))

    def _key(self) -> Key:
        """The key as it was, with the names that are new in it."""
        names = dict.fromkeys((self.key.flock, *self.key.names, *(one for kind in self.kinds for one in kind.given.values())))
        return Key(tuple(names), tuple(sorted(one.value for one in self.keep)))

    def _meet(self) -> None:
        """Every name is known before what may be any of them is read, ewes, groups and tags in the order of their own sheets."""
        first = (("ewes", "ewe", self.ewes), ("groups", "group", self.groups), ("lambs", "tag", self.lambs))
        for sheet, column, aliases in first:
            for row in self.season.rows(sheet):
                if name := row.text(column):
                    aliases.of(name)
        for one in _GOES_OUT:
            for named in (column for column in one.own_columns if one.address(column) in self.by_column):
                for row in self.season.rows(one.id):
                    self._value(one, named, row)

    def _left_out(self) -> Iterator[str]:
        for tab, titles in self.season.own_columns.items():
            yield f"{so_many(len(titles), 'column')} of your own on {tab}"
        if own := len(self.season.own_sheets):
            yield f"{so_many(own, 'sheet')} of your own"

    def _row(self, sheet: Sheet, row: Record) -> Row:
        """A row with its key made anew; of Season and Policy what the farm set, for the rest is the program's own."""
        columns = [column for column in sheet.own_columns if not (sheet.fixed_rows and column.issued)]
        values = {column.id: value for column in columns if (value := self._value(sheet, column, row)) is not None}
        if sheet.fixed_rows:
            return {**values, ROW_KEY.id: row.key}
        return {**values, ROW_KEY.id: row_key(sheet, values)} if row.key else values

    def _value(self, sheet: Sheet, column: Column, row: Record) -> Value:
        """What may stand in a cell: a typed value, an alias, or words of this program alone; blank where it says more."""
        held = row.held(column.id)
        if column.kind is Kind.SETTING and row.key == "flock":
            return self._setting(row)
        if held is None or held is NOT_KNOWN and column.id not in row.raw:
            return held
        if column.kind is Kind.SETTING:
            found = self._setting(row)
        elif column.kind in _AS_TEXT:
            found = self._text(sheet.address(column), row, shown(row.written(column.id)))
        else:
            return _typed(column, row)
        if found is None:
            self.emptied[f"{sheet.title}: {column.title}"] += 1
        return found

    def _setting(self, row: Record) -> Value:
        """A setting of words stays only if asked for, also where a telephone number was read as a number."""
        setting = SETTING[row.key or ""]
        if setting.id == "flock" and Keep.FLOCK_NAME not in self.keep:
            return self.key.flock.alias
        if setting.kind is Kind.TEXT:
            keeps = Keep.FLOCK_NAME if setting.id == "flock" else Keep.PEOPLE
            return row.written("value") if keeps in self.keep else None
        return _believed(row.held("value"))

    def _text(self, address: str, row: Record, value: str) -> Value:
        if address in self.by_column:
            return self.by_column[address].of(value)
        if address in _ANIMALS:
            return self._animal(row, value)
        if address in _TAGS:
            return value if Keep.TAGS in self.keep else None
        if address in _PRODUCTS:
            return value if Keep.PRODUCTS in self.keep else None
        return value if Keep.NOTES in self.keep or in_program_words(value) else None

    def _animal(self, row: Record, value: str) -> str:
        """A ewe, a lamb by tag or by ewe and number, or a group: whichever it is in the records."""
        names = self.season.flock.names
        if row.has("given_to") and row["given_to"] is TreatedFor.GROUP and self.groups.knows(value):
            return self.groups.of(value)
        if self.lambs.knows(value):
            return self.lambs.of(value)
        if names.match(value).key in names.names:
            return self.ewes.of(value)
        if (parts := lamb_name(value)) and names.match(parts[0]).key in names.names:
            return f"{self.ewes.of(parts[0])}-{parts[1]}"
        return (self.groups if self.groups.knows(value) else self.others).of(value)


def _typed(column: Column, row: Record) -> Value:
    """The value of a number, a day or a list; a weight as it was weighed. What could not be read is not known."""
    written, held = row.written(column.id), row.held(column.id)
    if column.scale and isinstance(held, int | float):
        return f"{held:g} kg" if isinstance(written, str) else _believed(written)
    return _believed(held)


def _believed(value: Value) -> Value:
    """A number too long to be any count or weight may be a tag or a telephone number: not known, as words are."""
    if isinstance(value, str) or isinstance(value, int | float) and abs(value) >= _TOO_LONG:
        return NOT_KNOWN
    return value


def _words(season: Season) -> frozenset[str]:
    """Every word in the records, and each two that stand together: an alias that was one of them would be read as it."""
    texts = (str(value) for rows in season.records.values() for row in rows for value in (*row.values.values(), *row.raw.values())
             if isinstance(value, str))
    lists = [_WORD.findall(text.casefold()) for text in texts]
    return frozenset(word for words in lists for word in (*words, *map(" ".join, pairwise(words))))


def in_program_words(text: str) -> bool:
    """Whether a text is made of list values, years and small numbers alone, as histories are: then it names nobody."""
    return all(word in _vocabulary() or _SMALL_NUMBER.fullmatch(word) for word in _WORD.findall(text.casefold()))


@cache
def _vocabulary() -> frozenset[str]:
    """The words of all lists, and those that put them together."""
    labels = [choice.label for sheet in SHEETS for column in sheet for choice in column.choices or ()]
    plain = "scanned born reared lost dead alive and of not in no lambs lamb season may have aborted weaning mating"
    return frozenset(_WORD.findall(" ".join([*labels, plain]).casefold()))
