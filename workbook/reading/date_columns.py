"""How the dates of each column run: judged from all its cells together, before any of them is read.

One slip of habit, such as a spreadsheet set to another country or a program that drops how cells look, is in every cell of
a column. Cell by cell it would be hundreds of errors, or half of the dates read wrong in silence.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time

from template_builder.files.opening import Cells
from template_builder.files.stored import moment
from template_builder.layout.addresses import letters
from template_builder.layout.choices import DateOrder
from template_builder.layout.columns import Kind
from workbook.reading.anchors import Anchored
from workbook.reading.days import apart, clock_of, days_either_way
from workbook.reading.parsed import Reader
from workbook.season.date_system import SeasonDays

NAMED = 3  # a question names so many cells on each side
_DAYS = (Kind.DATE, Kind.MOMENT, Kind.SETTING)
_BY_DAY, _BY_MONTH = DateOrder.DMY, DateOrder.MDY


@dataclass(frozen=True)
class DateColumn:
    """What the cells of one column say together: which way round, and what its plain numbers are.

    `only` names the cells that can be read one way alone, `either` those that can be read both ways; as written, with their rows.
    """

    tab: str
    column: int
    only: Mapping[DateOrder, Mapping[str, int]] = field(default_factory=dict)
    either: tuple[str, ...] = ()
    plain_days: bool = False

    @property
    def mixed(self) -> bool:
        """Whether some cells can only be day first and others only month first."""
        return len(self.only) > 1

    @property
    def settled(self) -> DateOrder | None:
        """The order its own cells settle; None where none does, or they differ."""
        return next(iter(self.only)) if len(self.only) == 1 else None

    def sides(self) -> str:
        """Some cells that can only be read one way, on each side, in words."""
        return ", others ".join(f"only {order} ({self._named(cells)})" for order, cells in self.only.items())

    def _named(self, cells: Mapping[str, int]) -> str:
        first = ", ".join(f"“{text}” in {letters(self.column)}{row}" for text, row in list(cells.items())[:NAMED])
        return first + (f" and {len(cells) - NAMED} more" if len(cells) > NAMED else "")


@dataclass(frozen=True)
class Dates:
    """The date columns of a workbook as judged, and how each is read: by sheet id and column number."""

    columns: Mapping[tuple[str, int], DateColumn]
    reader: Reader
    said: DateOrder | None
    epoch: datetime

    def column(self, sheet: str, number: int) -> DateColumn | None:
        """The column as judged; None for one that holds no dates."""
        return self.columns.get((sheet, number))

    def read_by(self, sheet: str, number: int) -> Reader:
        """How a column is read: as Season says; else as its cells settle; else as the other columns do; else the usual way."""
        column = self.column(sheet, number)
        if column is None:
            return self.reader
        reader = self.reader
        if column.plain_days and not reader.bare_days:
            reader = replace(reader, bare_days=self.epoch, in_column=True)
        order = self.said or column.settled or (None if column.mixed else self._leaning)
        if order or column.mixed:
            return replace(reader, order=order)
        likelier = self._likelier(column)
        return replace(reader, order=likelier or _BY_DAY, settled=likelier is not None)

    @property
    def _leaning(self) -> DateOrder | None:
        """The one order that columns which settle it themselves agree on."""
        orders = {order for column in self.columns.values() for order in column.only}
        return next(iter(orders)) if len(orders) == 1 else None

    def _likelier(self, column: DateColumn) -> DateOrder | None:
        """The one order in which all dates of the column lie within the season."""
        year = self.reader.year
        if year is None:
            return None
        season = SeasonDays.of(year)
        fit = [order for order in (_BY_DAY, _BY_MONTH)
               if all(days_either_way(text, year)[order] in season for text in column.either)]
        return fit[0] if len(fit) == 1 else None


def judge(cells: Cells, anchored: Mapping[str, Anchored], reader: Reader, said: DateOrder | None) -> Dates:
    """Judge every date column of a workbook. `said` is what a person wrote on Season, `reader` what holds for all columns."""
    columns = {(id, column.column): column for id, found in anchored.items() for column in _judged(cells, found, reader)}
    return Dates(columns, reader, said, cells.epoch)


def _judged(cells: Cells, found: Anchored, reader: Reader) -> Iterator[DateColumn]:
    kinds = {number: found.sheet.column(id).kind for id, number in found.places.items()}
    dates = {number for number, kind in kinds.items() if kind in _DAYS}
    texts: dict[int, dict[str, int]] = {number: {} for number in dates}
    numbers: dict[int, set[float]] = {number: set() for number in dates}
    for row, line in cells.tabs[found.tab]:
        written = [cell for cell in line if cell.column in dates and isinstance(cell.value, str | int | float)]
        if not written or found.is_head(row, line):
            continue
        for cell in written:
            if isinstance(cell.value, str):
                if not cell.error:
                    texts[cell.column].setdefault(" ".join(cell.value.split()), row)
            elif isinstance(cell.value, int | float) and not isinstance(cell.value, bool):
                numbers[cell.column].add(cell.value)
    for number in sorted(dates):
        plain = _plain_days(tuple(numbers[number]), kinds[number], reader.year, cells.epoch)
        yield _column(found.tab, number, texts[number], kinds[number], reader.year, plain_days=plain)


def _column(tab: str, number: int, texts: Mapping[str, int], kind: Kind, year: int | None, *, plain_days: bool) -> DateColumn:
    only: dict[DateOrder, dict[str, int]] = {}
    either = []
    for text, row in texts.items():
        if kind is not Kind.DATE and clock_of(text) is not None:
            continue
        words, _ = apart(text)
        ways = days_either_way(words, year)
        if len(ways) == 1:
            only.setdefault(next(iter(ways)), {})[text] = row
        elif ways:
            either.append(words)
    return DateColumn(tab, number, only, tuple(either), plain_days)


def _plain_days(numbers: Sequence[float], kind: Kind, year: int | None, epoch: datetime) -> bool:
    """Whether the plain numbers of a column are days: all lie within the two years of the season, or are times of a day.

    On Season, where other numbers stand in the same column, those outside are left alone.
    """
    if year is None:
        return False
    first, last = date(year - 1, 1, 1), date(year, 12, 31)

    def inside(number: float) -> bool:
        found = moment(number, epoch)
        return isinstance(found, datetime) and first <= found.date() <= last

    if kind is Kind.SETTING:
        return any(map(inside, numbers))
    times = kind is Kind.MOMENT and any(0 < number < 1 for number in numbers)
    return bool(numbers) and all(inside(number) or (times and isinstance(moment(number, epoch), time)) for number in numbers)
