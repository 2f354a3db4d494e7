"""What live formulas may be made of: functions every program has, counting by number alone, no way back into entry cells."""

import re
from collections.abc import Iterator
from pathlib import Path

from template_builder.build import Plan, build, last_row
from template_builder.files.opening import open_cells
from template_builder.files.room import lines_needed
from template_builder.layout.alerts import ALERTS, UNREADABLE
from template_builder.layout.sheets import SHEETS
from template_builder.layout.whole import HIDDEN_TABS, LIVE_TABS
from template_builder.live.blocks import HIDDEN, SINGLE_CELLS, all_formulas, ranges, unknown_names
from template_builder.live.columns import names_in
from template_builder.live.evaluator.grammar import FUNCTIONS, functions_in, outside_quotes
from template_builder.live.ewe_block import EWES
from template_builder.live.look_up import ASKED
from template_builder.live.tonight import TONIGHT
from template_builder.live.tonight_page import TOLD_LINES

# Criteria of COUNTIF and SUMIF: numbers, rows of ewes and keys made of them, never what a person wrote.
CRITERIA = re.compile(
    r'-?\d+|""|"~\?"|"[<>]=?-?\d+"|"[<>]=?"&\(?\$[A-Z]+\{row\}(\+1\))?\*100000000000(\+\$[A-Z]+\{row\})?|\$[A-Z]+\{row\}(-2|\+0)?|live_found'
    # of Plan: keys of litter and week, of group and day, of a day, of a gain
    r'|"[<>]"&\$[A-Z]+\{row\}[+*-]\d+|"<"&\(\$[A-Z]+\{row\}\+[01]\)\*100000|"<"&INDEX\(live_plan_near,\$[A-Z]+\{row\}\)[+-]\d'
    r'|"<"&\(\$[A-Z]+\{row\}[+-]\d\)\*\d+(\+\d+)?'
    # of cases: keys of illness, animal and day, and of illness and day
    r'|"<=?"&\$[A-Z]+\{row\}|"<"&INT\(\$[A-Z]+\{row\}/100000\)\*100000|\$[A-Z]+\{row\}-\d+')
_CELLS = r"(?:live_[a-z_]+|\$[A-Z]+\{row\}:\$[A-Z]+\{row\})"
_INDEX = r"INDEX\((live_[a-z_]+),(?:\$[A-Z]+\{row\}|MIN\(\$[A-Z]+\{row\}\+\d,ROWS\(live_[a-z_]+\)\))\)"
COUNTED = re.compile(f"{_CELLS}|{_INDEX}:{_INDEX}")
MOST_CHARACTERS, MOST_LITERAL = 8192, 255


def _arguments(formula: str, function: str) -> Iterator[list[str]]:
    """The arguments of every call of a function."""
    for found in re.finditer(rf"\b{function}\(", formula):
        depth, quoted, start, parts = 1, False, found.end(), []
        for place in range(found.end(), len(formula)):
            sign = formula[place]
            quoted ^= sign == '"'
            depth += 0 if quoted else (sign == "(") - (sign == ")")
            if not quoted and ((sign == "," and depth == 1) or depth == 0):
                parts.append(formula[start:place])
                start = place + 1
            if depth == 0:
                break
        yield parts


def test_only_functions_every_program_has() -> None:
    used = {name for formula in all_formulas() for name in functions_in(formula)}
    assert FUNCTIONS == used


def test_a_name_that_stands_for_nothing_is_seen() -> None:
    assert {"live_ewes_scaned"} == unknown_names(["SUM(live_ewes_scaned)+SUM(live_ewes_scanned)"])


def test_nothing_is_counted_by_a_tag() -> None:
    calls = [(formula, parts) for formula in all_formulas() for name in ("COUNTIF", "COUNTIFS", "SUMIF")
             for parts in _arguments(formula, name)]
    assert 50 < len(calls)
    for formula, parts in calls:
        wide = "COUNTIFS(" in formula
        pairs = list(zip(parts[::2], parts[1::2], strict=True)) if wide else [(parts[0], parts[1])]
        for area, criterion in pairs:
            assert COUNTED.fullmatch(area), formula
            assert CRITERIA.fullmatch(criterion), (criterion, formula)
    text_columns = {"name", "foster_text", "animal"}
    assert not [area for _, parts in calls for area in parts[:1] if area.rpartition("_")[2] in text_columns]


def test_a_tag_as_criterion_would_be_seen() -> None:
    planted = "=COUNTIF(lambing_ewe,$B{row}&\"\")"
    (parts,) = _arguments(planted, "COUNTIF")
    assert not COUNTED.fullmatch(parts[0]) and not CRITERIA.fullmatch(parts[1])


def test_the_clock_stands_in_one_cell() -> None:
    assert 1 == sum(formula.count("NOW()") for formula in all_formulas())


def test_entry_rows_are_read_by_their_number_alone() -> None:
    entry = {name for name, (tab, *_) in ranges({sheet.id: 50 for sheet in SHEETS}) if tab not in LIVE_TABS}
    for formula in all_formulas():
        for name in names_in([formula]) & entry:
            functions = ("INDEX", "ROWS", "COLUMNS", "COUNTA", "MATCH")
            calls = [parts for function in functions for parts in _arguments(formula, function)]
            held = sum(part == name for parts in calls for part in parts)
            assert held == len(re.findall(rf"\b{name}\b", formula)), (name, formula)
        assert "!" not in outside_quotes(re.sub(r"_(?:ewes|plan)!\$[A-Z]+\{row\}", "", formula)) and "[" not in formula


def test_formulas_and_their_words_fit() -> None:
    for formula in all_formulas():
        assert len(formula) < MOST_CHARACTERS
        assert all(len(words) <= MOST_LITERAL for words in formula.split('"')[1::2]), formula
        assert formula.count("(") == formula.count(")") or '"' in formula
    nested = max(_depth(outside_quotes(formula)) for formula in all_formulas())
    assert nested <= 64


def _depth(formula: str) -> int:
    deepest = depth = 0
    for sign in formula:
        depth += (sign == "(") - (sign == ")")
        deepest = max(deepest, depth)
    return deepest


def test_names_are_no_cells_no_tables_and_all_there() -> None:
    found = dict(ranges({sheet.id: last_row(sheet, 3) for sheet in SHEETS}))
    names = [*found, *(cell.name for cell in SINGLE_CELLS)]
    lists = {name for name in names_in(all_formulas()) if name.startswith("list_")}
    assert set() == names_in(all_formulas()) - set(names) - lists - {ASKED}
    assert len(names) == len({name.casefold() for name in names})
    assert not [name for name in names if re.fullmatch(r"(?i)[a-z]{1,3}\d+|r\d*c?\d*|c\d*", name) or name.startswith("table_")]
    assert set(LIVE_TABS) >= {tab for tab, *_ in found.values()} - {sheet.title for sheet in SHEETS}
    assert {block.tab for block in HIDDEN} <= set(HIDDEN_TABS)


def test_every_alert_has_its_column_and_a_first_step_that_fits_its_cell() -> None:
    raised = [column.id for column in EWES.columns if column.id.startswith("alert_")]
    assert [f"alert_{alert.id}" for alert in ALERTS] == raised
    assert sorted(alert.urgency for alert in ALERTS) == [alert.urgency for alert in ALERTS]
    told = next(column for column in TONIGHT.columns if column.id == "told")
    for alert in (*ALERTS, UNREADABLE):
        alone = f"{alert.title} since 24 Mar 03:10. {alert.first_step}"
        assert lines_needed(alone, told.width, told.style) <= TOLD_LINES, alone
        assert "vet" in alert.first_step or not alert.call_vet


def test_no_entry_sheet_holds_a_formula(tmp_path: Path) -> None:
    build(tmp_path / "season.xlsx", Plan("Live", {}))
    cells = open_cells(tmp_path / "season.xlsx")
    held = {tab for tab, lines in cells.tabs.items() for _, line in lines for cell in line if cell.formula}
    assert held <= set(LIVE_TABS) and "Tonight" in held
