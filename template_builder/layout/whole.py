"""All sheets together: the layout version, the names of cells that anchor columns, and the links between sheets."""

from template_builder.layout.columns import Column, Sheet
from template_builder.layout.settings import Setting
from template_builder.layout.sheets import SHEETS
from template_builder.layout.sheets.conflicts import CONFLICTS, MOST_VALUES, value_columns
from template_builder.layout.sheets.left import LEFT
from template_builder.layout.sheets.to_correct import TO_CORRECT

# Raised by any change of columns or lists; a filled workbook of the version before then joins tests/layouts. What is new says
# since which version it is there: columns, list values, settings, selection rules and score weights.
FIRST_VERSION, LAYOUT_VERSION = 1, 2

KEY_ROW, TITLE_ROW, HEADING_ROW, FIRST_ROW = 1, 2, 3, 4

META_TAB = "_meta"
LISTS_TAB = "_lists"
GUIDE_TAB = "Guide"
TO_CORRECT_TAB = TO_CORRECT.title
CONFLICTS_TAB = CONFLICTS.title
LEFT_TAB = LEFT.title
# Pages of formulas and the hidden blocks behind them: nothing is read from them.
TONIGHT_TAB, SET_ON_TAB, STATUS_TAB, PROGRESS_TAB = "Tonight", "Set on", "Ewe status", "Progress"
TURNOUT_TAB, PLAN_TAB = "Turnout", "Plan"
HIDDEN_TABS = ("_ewes", "_lambs", "_lambing", "_checks", "_treatments", "_groups", "_astray", "_plan", "_weeks", "_litters",
               "_todo", "_sizes", "_counts", "_ahead", "_pairs", "_illness", "_alarms", "_out", "_counted", "_by_count",
               "_by_day", "_live", "_alerts")
LIVE_TABS = (TONIGHT_TAB, SET_ON_TAB, STATUS_TAB, PROGRESS_TAB, TURNOUT_TAB, PLAN_TAB, *HIDDEN_TABS)
# Workbooks built before what is printed had a file of its own: theirs are the program's too, and nobody's own sheets.
PRINTED_TABS = ("Print shed", "Print running", "Print look-up", "Print pen cards", "Print handling", "Print counts",
                "Print weighing")
# Tabs of workbooks built before Tonight, Guide and Progress took their place.
RETIRED_TABS = ("Start here", "Watch list", "Codes", "Forecast")
# Tabs that hold nothing but what stands elsewhere: their cells are not taken apart.
UNREAD_TABS = (*LIVE_TABS, *PRINTED_TABS, *RETIRED_TABS)
PROGRAM_TABS = (META_TAB, LISTS_TAB, GUIDE_TAB, TO_CORRECT_TAB, CONFLICTS_TAB, LEFT_TAB, *UNREAD_TABS)

SHEET = {sheet.id: sheet for sheet in SHEETS}

# The ids of the columns of every sheet, those of the program's own lists too.
ALL_COLUMNS = {sheet.id: frozenset(column.id for column in sheet) for sheet in (*SHEETS, TO_CORRECT, LEFT)}
ALL_COLUMNS[CONFLICTS.id] = frozenset(column.id for column in (*CONFLICTS, *value_columns(MOST_VALUES)))

# What live cells look at: whole columns of entry sheets and values on Season, each under a defined name.
LIVE_COLUMNS = ("lambing.lambed_on",)
LIVE_SETTINGS = ("pens", "two_people")


def heading_name(sheet: Sheet, column: Column) -> str:
    """The defined name of a column's heading cell, which follows it wherever it is moved."""
    return f"head_{sheet.id}_{column.id}"


def column_name(sheet: Sheet, column: Column) -> str:
    """The defined name of the cells of a column, from the first row to the last spare one; only for `LIVE_COLUMNS`."""
    return f"col_{sheet.id}_{column.id}"


def setting_name(setting: Setting) -> str:
    """The defined name of the cell a setting's value is written in; only for `LIVE_SETTINGS`."""
    return f"set_{setting.id}"


def list_name(column: Column) -> str:
    """The defined name under which the values of a column's list stand."""
    if column.choices is None:
        raise KeyError(column.id)
    return f"list_{column.choices.__name__.lower()}"


def table_name(sheet: Sheet) -> str:
    """The name of a sheet's table."""
    return f"table_{sheet.id}"


def column_at(address: str) -> Column:
    """The column of a full id such as "lambs.tag"; KeyError where there is none."""
    sheet, _, column = address.partition(".")
    return SHEET[sheet].column(column)
