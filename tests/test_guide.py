"""SHEETS.md is made from the layout and kept current; what the layout says can be written into a workbook."""

from collections.abc import Callable
from pathlib import Path

import pytest

import template_builder
from template_builder.entry.lists_and_limits import told_on_entering
from template_builder.files.writer import PROMPT_TEXT, PROMPT_TITLE, RISKY
from template_builder.guide import codes, sheets_page
from template_builder.layout.choices import Choice
from template_builder.layout.columns import NOT_KNOWN, Column, Sheet
from template_builder.layout.policy import EVIDENCE_BY_ID, RULES
from template_builder.layout.settings import SETTINGS
from template_builder.layout.sheets import SHEETS
from template_builder.layout.trade_words import TRADE_WORDS
from template_builder.layout.whole import column_at, heading_name
from workbook.season.matching import fold

COLUMNS = [pytest.param(sheet, column, id=sheet.address(column)) for sheet in SHEETS for column in sheet]


def test_sheets_page_is_current(golden: Callable[[Path, str], None]) -> None:
    golden(Path(template_builder.__file__).with_name("SHEETS.md"), sheets_page())


@pytest.mark.parametrize(("sheet", "column"), COLUMNS)
def test_a_column_can_be_written(sheet: Sheet, column: Column) -> None:
    assert column.help and column.title == column.title.strip()
    told = told_on_entering(column)
    assert 0 < len(told["input_message"]) <= PROMPT_TEXT and 0 < len(told["input_title"]) <= PROMPT_TITLE
    assert column is column_at(sheet.address(column)) or column.id == "row_key"
    assert "_" in heading_name(sheet, column)
    if column.links_to and column.links_to != "animals":
        assert column_at(column.links_to).kind is column.kind


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.id)
def test_headings_of_a_sheet_are_told_apart(sheet: Sheet) -> None:
    titles = [fold(text) for column in sheet for text in {column.title, *column.aliases}]
    assert len(set(titles)) == len(titles)
    assert len({column.id for column in sheet}) == len(sheet.columns)


@pytest.mark.parametrize("choices", sorted({c.choices for s in SHEETS for c in s if c.choices}, key=lambda c: c.__name__))
def test_list_values_are_safe_and_told_apart(choices: type[Choice]) -> None:
    assert [] == [choice.label for choice in choices if choice.label.startswith(RISKY) or choice.label == NOT_KNOWN.value]
    assert all(choice.meaning for choice in choices)


def test_every_list_value_stands_in_the_guide() -> None:
    told = {(value, meaning) for _, value, meaning, _ in codes()}
    assert {(c.label, c.meaning) for s in SHEETS for col in s if col.choices for c in col.choices} <= told


def test_other_words_of_a_value_stand_beside_it() -> None:
    said = {(where, value): also for where, value, _, also in codes()}
    assert "very lame, on her knees" == said["Ewe check: Feet", "badly lame"]
    assert "draft, drafted; asked which: mart, market, gone, cast" == said["Ewes: Left how", "sold"]


def test_settings_and_rules_say_why_and_whence() -> None:
    assert [] == [setting.id for setting in SETTINGS if not (setting.why and setting.source)]
    assert [] == [rule.id for rule in RULES if not (rule.why and rule.source)]
    assert [] == [rule.id for rule in RULES if rule.evidence not in EVIDENCE_BY_ID]
    titles = [fold(setting.title) for setting in SETTINGS]
    assert len(set(titles)) == len(titles)


def test_other_words_of_the_trade_stand_in_the_guide() -> None:
    page = sheets_page()
    assert "| set on | foster, graft, adopt, mother on |" in page
    assert "by her number. Write foster ewe in reared by too. | set on to, fostered to, grafted to, adopted by |" in page
    used = [fold(ours) for ours, _ in TRADE_WORDS]
    assert [] == [other for _, others in TRADE_WORDS for other in others.split(", ") if fold(other) in used]
