"""Case files: one Markdown file for each rule, with small sheets as tables and the whole list of problems they give.

    ## fires: same tag on two lambs
    as of: 2026-04-30
    # Lambs
    | Ewe  | Lamb no. | Lamb tag |
    | ---- | -------- | -------- |
    | 0412 | 1        | 7001     |
    | 0415 | 1        | 7001     |
    expect Lambs!E5: tag 7001 is already in row 4

Rows stand in rows 4, 5, ... of the real sheet, columns where the sheet has them. A table "# Season" has the headings
"Setting key" and "Value". A rule that no sheet can make fire has a line "cannot fire: reason" and no cases. One that the
messy demo does not make fire has a line "not in the demo: reason" above its cases. Cases of
reading rules may do something to the workbook first ("do: delete sheet Lambs"); raw_cells.py says what can be done.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from seasons import ALL_SHEETS, AS_OF, season

from template_builder.layout.columns import Column, Row, Sheet, Value
from template_builder.layout.settings import SETTING
from workbook.reading.parsed import Reader
from workbook.reading.parsing import parse, setting_column
from workbook.season.season import Season

RULES_FOLDER = Path(__file__).parent / "rules"
READER = Reader(year=AS_OF.year)
SETTING_KEY = "Setting key"
NOT_IN_DEMO = "not in the demo: "
FILE = "season.xlsx"

_CASE = re.compile(r"## (fires|quiet): (.+)")
_EXPECT = re.compile(r"expect (.+?![A-Z0-9:]+|[^!:]+): (.+)")
_RULED = re.compile(r"\|[\s|:-]+\|")


@dataclass
class Case:
    """One small season and the problems of the rule it gives, each as "Lambs!E5: text"."""

    fires: bool
    title: str
    as_of: datetime = AS_OF
    tables: dict[str, list[list[str]]] = field(default_factory=dict)
    expected: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    actions: list[str] = field(default_factory=list)

    def season(self) -> Season:
        """The season of this case."""
        rows = {sheet.id: rows_of(sheet, self.tables[sheet.title]) for sheet in ALL_SHEETS if sheet.title in self.tables}
        return season(self.as_of, FILE, **rows)

    @property
    def text(self) -> str:
        """The case as written, for the page of rules."""
        return "\n".join(self.lines).strip()


@dataclass(frozen=True)
class CaseFile:
    """All cases of one rule. `cannot_fire` is the reason why there are none, `not_in_demo` why the demo has none."""

    path: Path
    rule: str
    slug: str
    cases: tuple[Case, ...]
    cannot_fire: str
    not_in_demo: str = ""


def case_files() -> list[CaseFile]:
    """Every case file, in order of rule."""
    return [read(path) for path in sorted(RULES_FOLDER.glob("*.md"))]


def read(path: Path) -> CaseFile:
    """Read a case file; ValueError names the file and the line that cannot be understood."""
    cases: list[Case] = []
    cannot_fire, not_in_demo, table = "", "", ""
    for number, raw in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        line = raw.strip()
        if found := _CASE.fullmatch(line):
            cases.append(Case(found[1] == "fires", found[2]))
            table = ""
        elif line.startswith("cannot fire: "):
            cannot_fire = line.removeprefix("cannot fire: ")
        elif line.startswith(NOT_IN_DEMO):
            not_in_demo = line.removeprefix(NOT_IN_DEMO)
        elif line and cases:
            cases[-1].lines.append(line)
            table = _line(cases[-1], line, table, f"{path.name}, line {number}")
    rule, _, slug = path.stem.partition("-")
    return CaseFile(path, rule, slug, tuple(cases), cannot_fire, not_in_demo)


def _line(case: Case, line: str, table: str, where: str) -> str:
    """Take one line into its case; gives the sheet whose table is being read."""
    if line.startswith("# "):
        table = line.removeprefix("# ")
        if table in case.tables or table not in {sheet.title for sheet in ALL_SHEETS}:
            raise ValueError(f"{where}: {table} is no sheet, or stands here twice")
        case.tables[table] = []
    elif line.startswith("|") and table:
        if not _RULED.fullmatch(line):
            case.tables[table].append([cell.strip() for cell in line.strip("|").split("|")])
    elif line.startswith("as of: "):
        case.as_of = datetime.fromisoformat(line.removeprefix("as of: "))
    elif line.startswith("do: "):
        case.actions.append(line.removeprefix("do: "))
    elif found := _EXPECT.fullmatch(line):
        case.expected.append(f"{found[1]}: {found[2]}")
    else:
        raise ValueError(f"{where}: not understood: {line}")
    return table


def rows_of(sheet: Sheet, table: list[list[str]]) -> list[Row]:
    """The rows of a table under its headings, typed as the product types cells."""
    headings, *lines = table
    if SETTING_KEY in headings:
        return [{"row_key": key, "value": typed(setting_column(SETTING[key]), value)} for key, value in lines]
    columns = [next(column for column in sheet if column.title == heading) for heading in headings]
    return [dict(_cells(columns, line)) for line in lines]


def _cells(columns: list[Column], line: list[str]) -> Iterator[tuple[str, Value]]:
    for column, text in zip(columns, line, strict=True):
        yield column.id, typed(column, text)


def typed(column: Column, text: str) -> Value:
    """The value a cell of this column holds; a cell that cannot be read is a mistake in the case."""
    parsed = parse(column, text, READER)
    if parsed.fault and parsed.value is None:
        raise ValueError(f"{column.title} cannot hold {text}: {parsed.fault.text}")
    return parsed.value
