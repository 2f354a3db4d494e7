"""Marks while typing: each looks at its own row and sheet alone, and marks what it should in a real spreadsheet program."""

import re
from datetime import date, time
from pathlib import Path

import pytest
from office import changed
from openpyxl import load_workbook
from openpyxl.formula.translate import Translator
from openpyxl.worksheet.worksheet import Worksheet

from template_builder.build import Plan, build
from template_builder.entry.marks import HINTS, MIRRORS, ROW_LOOKS, Grid, looks, row_rules, rules
from template_builder.files.look import DATE_FORMAT
from template_builder.files.writer import PROMPT_TITLE
from template_builder.layout.addresses import letters
from template_builder.layout.choices import (
    Belly,
    Born,
    Help,
    LambingTrouble,
    LambLeft,
    NextDay,
    Prolapse,
    RearedBy,
    Sex,
    Taken,
    Teats,
    TreatedFor,
    WhyHelped,
    YesNo,
)
from template_builder.layout.columns import LINE, NOT_KNOWN, Kind, Row, Sheet
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.settings import SETTING, SETTINGS
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import FIRST_ROW, HEADING_ROW, KEY_ROW, SHEET

pytestmark = pytest.mark.usefixtures("few_spare_rows")

SAFE = {"AND", "OR", "ISNUMBER", "COUNTA", "TODAY", "INT"}
CELL = re.compile(r"(\$?)([A-Z]{1,3})(\$?)(\d+)")
HINTED = [SHEET[id] for id in HINTS]


def grid(sheet: Sheet, *, day_book: bool = False) -> Grid:
    columns = sheet.arranged(day_book=day_book)
    issued = sheet.issued_in((LINE.id,) if day_book else ())
    return Grid({column.id: number for number, column in enumerate(columns, start=1)},
                frozenset(column.id for column in issued), moments(sheet), 100, len(columns))


def moments(sheet: Sheet) -> frozenset[str]:
    return frozenset(column.id for column in sheet.columns if column.kind is Kind.MOMENT)


@pytest.mark.parametrize("day_book", [False, True])
@pytest.mark.parametrize("sheet", HINTED, ids=lambda sheet: sheet.id)
def test_a_mark_looks_at_its_own_row_alone(sheet: Sheet, day_book: bool) -> None:
    here = grid(sheet, day_book=day_book)
    mirrored = {letters(len(sheet.columns) + number) for number in range(1, len(MIRRORS.get(sheet.id, ())) + 1)}
    found = list(rules(sheet.id, here))
    assert sum(len(hint.marks) for hint in HINTS[sheet.id]) == len(found)
    assert len(ROW_LOOKS.get(sheet.id, ())) == len(list(row_rules(sheet.id, here)))
    for formula in (*(formula for _, formula in found), *(formula for _, formula, _ in looks(sheet.id, here))):
        assert "!" not in formula and "{" not in formula
        assert set(re.findall(r"([A-Z]+)\(", formula)) <= SAFE
        for column_fixed, column, row_fixed, row in CELL.findall(re.sub(r'"[^"]*"', "", formula)):
            own = (column_fixed, row_fixed, row) == ("$", "", str(FIRST_ROW))
            limit = column in mirrored and (column_fixed, row_fixed, row) == ("$", "$", str(KEY_ROW))
            assert own or limit, formula


def test_hints_name_columns_that_are_there() -> None:
    for id, hints in HINTS.items():
        for hint in hints:
            named = set(re.findall(r"\{([a-z_]+)\}", hint.when)) - {"written"}
            assert {*hint.marks, *named} <= {column.id for column in SHEET[id]}
            assert hint.says.endswith((".", "?"))


def test_limits_are_mirrored_from_the_settings(tmp_path: Path) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Limits", {"season": [{"row_key": "single_most", "value": 8.5}], **lay_ready([{"ewe": "1", "scanned": 1}])}))
    book = load_workbook(path)
    last = len(SHEET["lambs"].columns)
    assert [1.5, 8.5] == [book["Lambs"].cell(KEY_ROW, last + number).value for number in (1, 2)]
    early = SETTING["gestation"].default, SETTING["gestation_least"].default
    assert 9 == early[0] - early[1] == book["Lambing"].cell(KEY_ROW, len(SHEET["lambing"].columns) + 1).value  # type: ignore[operator]
    assert book["Lambs"].row_dimensions[KEY_ROW].hidden


@pytest.mark.parametrize("order", Order)
def test_marks_reach_every_row_and_show_in_greyscale(tmp_path: Path, order: Order) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Marks", lay_ready([{"ewe": "1", "scanned": 2, "due": date(2026, 3, 1)}], order)))
    book = load_workbook(path)
    for sheet in HINTED:
        tab: Worksheet = book[sheet.title]
        (table,) = tab.tables.values()
        last = table.ref.rsplit(":", 1)[1].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        rules = [(area, rule) for area in tab.conditional_formatting for rule in area.rules]
        ordered = sorted(rules, key=lambda found: found[1].priority)
        whole = len(ROW_LOOKS.get(sheet.id, ())) + 1
        days = whole * len(moments(sheet))
        found, of_rows = ordered[:-whole - days], ordered[-whole:]
        assert [DATE_FORMAT] * days == [rule.dxf.numFmt.formatCode for _, rule in ordered[-whole - days:-whole]]
        assert {table.ref.replace(f"A{HEADING_ROW}", f"A{FIRST_ROW}")} == {str(area.sqref) for area, _ in of_rows}
        assert (["TRUE"], True) == (of_rows[-1][1].formula, all(rule.dxf.border.bottom.style for _, rule in of_rows))
        assert sum(len(hint.marks) for hint in HINTS[sheet.id]) == len(found)
        for area, rule in found:
            (cells,) = str(area.sqref).split()
            assert cells.endswith(last)
            assert rule.dxf.font.b and rule.dxf.border.left.style


@pytest.mark.parametrize("order", [Order.DUE, Order.DAY_BOOK])
def test_every_cell_to_fill_in_says_what_to_write(tmp_path: Path, order: Order) -> None:
    path = tmp_path / "season.xlsx"
    build(path, Plan("Messages", lay_ready([{"ewe": "1", "scanned": 2}], order)))
    book = load_workbook(path)
    for sheet in SHEETS:
        tab: Worksheet = book[sheet.title]
        told = {range.min_col: rule for rule in tab.data_validations.dataValidation for range in rule.sqref.ranges
                if range.min_row == FIRST_ROW}
        for number, column in enumerate(sheet.arranged(day_book=order is Order.DAY_BOOK), start=1):
            if sheet.fixed_rows and column.kind in (Kind.TEXT, Kind.SETTING) and column.id != "value":
                continue
            said = SETTINGS[0].why if column.id == "value" and sheet.id == "season" else column.help
            assert (said, True) == (told[number].prompt, told[number].showInputMessage), (sheet.id, column.id)
            assert 0 < len(told[number].promptTitle) <= PROMPT_TITLE


# What is marked, computed by LibreOffice: sheet, what stands in the row, and the columns marked.
MARKED: list[tuple[str, Row, set[str]]] = [
    ("ewes", {"ewe": "1", "scanned": 0}, set()),
    ("ewes", {"ewe": "1"}, {"scanned"}),
    ("ewes", {"ewe": "1", "scanned": NOT_KNOWN}, set()),
    ("lambing", {"ewe": "1", "scanned": 2, "due": date(2026, 3, 20)}, set()),
    ("lambing", {"ewe": "1", "due": date(2026, 3, 20), "lambed_on": date(2026, 3, 11), "all_well": YesNo.YES}, set()),
    ("lambing", {"ewe": "1", "due": date(2026, 3, 20), "lambed_on": date(2026, 3, 10)}, {"lambed_on"}),
    ("lambing", {"ewe": "1", "lambed_on": date(2026, 3, 10), "sides_in_milk": 2, "teats": Teats.SOUND}, set()),
    ("lambing", {"ewe": "1", "sides_in_milk": 1, "sides_next_day": 0, "teats": Teats.LARGE},
     {"sides_in_milk", "sides_next_day", "teats"}),
    ("lambing", {"ewe": "1", **dict.fromkeys(("sides_in_milk", "teats", "prolapse", "next_day"), NOT_KNOWN)}, set()),
    ("lambing", {"ewe": "1", "prolapse": Prolapse.NONE, "next_day": NextDay.ALL_FULL}, set()),
    ("lambing", {"ewe": "1", "prolapse": Prolapse.WOMB, "next_day": NextDay.HELPED}, {"prolapse", "next_day"}),
    ("lambing", {"ewe": "1", "trouble": LambingTrouble.NOT_OPEN}, {"trouble"}),
    ("lambing", {"ewe": "1", "trouble": LambingTrouble.NO_MILK}, set()),
    ("lambing", {"ewe": "1", "help": Help.HARD}, {"why_helped"}),
    ("lambing", {"ewe": "1", "help": Help.HARD, "why_helped": WhyHelped.SLOW}, set()),
    ("lambing", {"ewe": "1", "help": Help.LIGHT}, set()),
    ("lambing", {"ewe": "1", "waters_seen": time(2, 30)}, {"finished"}),
    ("lambing", {"ewe": "1", "waters_seen": time(2, 30), "finished": time(3, 30)}, set()),
    ("lambing", {"lambed_on": date(2026, 3, 10)}, {"ewe"}),
    ("lambs", {"ewe": "1", "lamb_no": 1}, set()),
    ("lambs", {"ewe": "1", "lamb_no": 1, "sex": Sex.EWE}, {"born"}),
    ("lambs", {"ewe": "1", "lamb_no": 1, "sex": Sex.EWE, "born": Born.ALIVE, "birth_weight": 4.5}, set()),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "birth_weight": 1.4}, {"birth_weight"}),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "birth_weight": 7.6, "belly": Belly.HOLLOW, "taken": Taken.REFUSED},
     {"birth_weight", "belly", "taken"}),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "reared_by": RearedBy.FOSTER_EWE}, {"foster_ewe"}),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "2"}, set()),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "left_on": date(2026, 4, 1)}, {"left_how"}),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "left_on": date(2026, 4, 1), "left_how": LambLeft.DIED}, {"cause"}),
    ("lambs", {"ewe": "1", "born": Born.ALIVE, "left_on": date(2026, 4, 1), "left_how": LambLeft.SOLD}, set()),
    ("lambs", {"ewe": "1", "born": Born.DEAD_FRESH, "left_on": date(2026, 4, 1), "left_how": LambLeft.DIED, "cause": NOT_KNOWN},
     {"left_on"}),
    ("treatments", {"date": date(2026, 4, 1), "given_to": TreatedFor.EWE}, {"withdrawal"}),
    ("treatments", {"date": date(2026, 4, 1), "given_to": TreatedFor.EWE, "withdrawal": 0}, set()),
]
BESIDE = 60  # column from which the formulas are put to be computed


def test_marks_are_where_they_should_be(tmp_path: Path) -> None:
    path, target = tmp_path / "season.xlsx", tmp_path / "computed.xlsx"
    cases = {id: [(row, marked) for sheet, row, marked in MARKED if sheet == id] for id in HINTS}
    build(path, Plan("Marks", {id: [row for row, _ in of_sheet] for id, of_sheet in cases.items()}))
    book = load_workbook(path)
    for id, of_sheet in cases.items():
        for number, (_, formula) in enumerate(rules(id, grid(SHEET[id])), start=BESIDE):
            first = f"{letters(number)}{FIRST_ROW}"
            for row in range(FIRST_ROW, FIRST_ROW + len(of_sheet)):
                moved = Translator(formula, first).translate_formula(f"{letters(number)}{row}")
                book[SHEET[id].title].cell(row, number).value = moved
    book.save(path)
    computed = load_workbook(changed(path, target, []), data_only=True)
    for id, of_sheet in cases.items():
        columns = [column for column, _ in rules(id, grid(SHEET[id]))]
        for row, (values, marked) in enumerate(of_sheet, start=FIRST_ROW):
            found = [computed[SHEET[id].title].cell(row, number).value for number in range(BESIDE, BESIDE + len(columns))]
            assert {True, False} >= set(found), (id, values, found)
            assert marked == {column for column, hit in zip(columns, found, strict=True) if hit}, (id, values)


def test_every_mark_is_tried() -> None:
    assert {(id, column) for id, hints in HINTS.items() for hint in hints for column in hint.marks} == {
        (id, column) for id, _, marked in MARKED for column in marked
    }
