"""What each source row counts for: numbers beside the rows, named, so that figures are live sums over them."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from workbook.output.summary.places import Block, Places
from workbook.results.litters.account import Account, SourceRow
from workbook.results.litters.ewe_facts import EWE_FACTS, LAMB_FACTS, holding
from workbook.results.litters.figure import Figure, Rows
from workbook.results.litters.lines import LINE, LINES
from workbook.results.pipeline import Result
from workbook.season.families import Ewe, Lamb
from workbook.season.groups import Groups

CLASS, CLASS_TITLE = "class", "Scanned with"
OWN_SHEETS = ("ewes", "lambing", "lambs")  # sheets whose rows stand on a tab of their own


class Flag(NamedTuple):
    """A column beside the source rows: its id, heading, and how many each row counts there."""

    id: str
    title: str
    rows: Mapping[SourceRow, int]


@dataclass(frozen=True)
class Flags:
    """The columns beside each block of source rows, by sheet id, and the class each row stands in."""

    columns: Mapping[str, tuple[Flag, ...]]
    class_at: Mapping[SourceRow, str]
    account: Account
    by_counts_alone: bool = False  # so that there are no lines to sum

    def summed(self, id: str) -> int:
        """The sum of a flag over all rows shown."""
        return sum(sum(flag.rows.values()) for flags in self.columns.values() for flag in flags if flag.id == id)

    def sums(self, id: str) -> list[str]:
        """The terms that add a flag up, one for each block with such a column."""
        return [f"SUM({name(sheet, id)})" for sheet in self._with(id)]

    def class_sums(self, id: str, size_class: str) -> list[str]:
        """The terms that add a flag up over the rows of one class."""
        return [f'SUMIFS({name(sheet, id)},{name(sheet, CLASS)},"{size_class}")' for sheet in self._with(id)]

    def line(self, line: str, size_class: str, value: int) -> str:
        """The formula of a line of the account in one class; "" where it is no sum over the rows shown."""
        columns = [flag for flags in self.columns.values() for flag in flags if flag.id == line]
        of_class = sum(
            number for flag in columns for row, number in flag.rows.items() if self.class_at.get(row) == size_class)
        return _added(self.class_sums(line, size_class)) if columns and of_class == value else ""

    def all_of_line(self, line: str, adjusted: int, cell: str) -> str:
        """The formula of a line over all classes: the rows, and the entry for a count in `cell` where there is one."""
        terms = [*self.sums(line), *[cell] * bool(adjusted)]
        return _added(terms) if self.summed(line) + adjusted == self.account.total(line) else ""

    def figure(self, figure: Figure) -> tuple[str, str]:
        """The formulas of what a figure counts and of what it counts against; "" where that stays a value."""
        return self._live(figure.above, figure.numerator), self._live(figure.below, figure.denominator)

    def _live(self, rows: Rows | None, value: float | None) -> str:
        if rows is None or value is None or self.by_counts_alone or self._counted(rows) != value:
            return ""
        terms = [*(term for fact in rows.facts for term in self.sums(fact)), *map(line_name, rows.lines)]
        return _added(terms, [line_name(line) for line in rows.less])

    def _counted(self, rows: Rows) -> int:
        return sum(map(self.summed, rows.facts)) + self.account.total(*rows.lines) - self.account.total(*rows.less)

    def _with(self, id: str) -> list[str]:
        return [sheet for sheet, flags in self.columns.items() if any(flag.id == id for flag in flags)]


def name(sheet: str, flag: str) -> str:
    """The defined name of a flag's column beside the rows of a sheet."""
    return f"{sheet}_count_{flag}"


def line_name(line: str) -> str:
    """The defined name of the cell that gives a line of the account over all classes."""
    return f"account_{line}"


def class_value(size_class: str) -> str | int:
    """A class as it stands in a cell: a litter size as a number, so that every program finds it by its number."""
    return int(size_class) if size_class.isdecimal() else size_class


def flags_of(result: Result, places: Places) -> Flags:
    """What each row shown counts for; a column stands beside a block only where one of its rows counts."""
    season, account = result.season, result.account
    groups = Groups.of(season)
    found = [Flag(line.id, f"Account: {line.title.lower()}", account.places.get(line.id, {})) for line in LINES]
    titles = Counter(flag.title for flag in found)
    found = [flag if titles[flag.title] == 1 else flag._replace(title=f"Account: {_longer(flag.id)}") for flag in found]
    ewes = [ewe for ewe in season.flock.ewes.values() if not groups.counted_with_group(ewe)]
    found += [Flag(id, title, _rows_of(holding(id, ewes, groups))) for id, (title, _) in EWE_FACTS.items()]
    found += [Flag(id, title, _rows_of_lambs(lambs(season))) for id, (title, lambs) in LAMB_FACTS.items()]
    columns = {block.sheet.id: _beside(block, found) for block in places.blocks if block.sheet.id in OWN_SHEETS}
    return Flags(columns, account.class_at, account, result.by_counts_alone)


def _longer(line: str) -> str:
    """A line's title with that of the line it is part of, where two lines have one title."""
    parent = next((one for one in LINES if line in one.parts), None)
    own = LINE[line].title.lower()
    return f"{parent.title.lower()}, {own}" if parent else f"{own} (memo)"


def _beside(block: Block, flags: Iterable[Flag]) -> tuple[Flag, ...]:
    shown = [(row.tab, row.row) for row in block.rows]
    within = [flag._replace(rows={row: flag.rows[row] for row in shown if flag.rows.get(row)}) for flag in flags]
    return tuple(flag for flag in within if flag.rows)


def _rows_of(ewes: Iterable[Ewe]) -> Mapping[SourceRow, int]:
    records = (ewe.record or ewe.lambing or ewe.laid for ewe in ewes)
    return Counter((record.tab, record.row) for record in records if record is not None)


def _rows_of_lambs(lambs: Iterable[Lamb]) -> Mapping[SourceRow, int]:
    return Counter((lamb.record.tab, lamb.record.row) for lamb in lambs)


def _added(terms: Iterable[str], less: Iterable[str] = ()) -> str:
    added = "+".join(terms)
    return f"={added}{''.join(f'-{term}' for term in less)}" if added else ""


__all__ = ["CLASS", "CLASS_TITLE", "Flag", "Flags", "class_value", "flags_of", "line_name", "name"]
