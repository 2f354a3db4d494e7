"""Single cells that other formulas use: the moment, settings of the season, and what could not be matched."""

from collections.abc import Mapping

from template_builder.live.columns import LiveCell
from template_builder.live.formulas import MINUTES
from template_builder.settings import SETTING

USED = ("gestation", "gestation_most", "next_look", "long_labour")
LINKS = ("live_lambing_ewe", "live_lambs_ewe", "live_lambs_foster", "live_checks_ewe", "live_treatments_ewe")


def _setting(id: str) -> str:
    return f'INDEX(season_value,MATCH("{id}",season_row_key,0))'


def _own_or_default(id: str) -> str:
    return f"IF(ISNUMBER({_setting(id)}),{_setting(id)},{SETTING[id].default})"


def _lost(link: str) -> str:
    """Rows of one sheet that name a ewe Ewes does not have, or whose cell holds an error."""
    return f"COUNTIF({link},-1)+ROWS({link})-COUNT({link})"


# Entry sheets by their column that is never blank, beside one of the block of formulas that reads their rows.
READ_BY: Mapping[str, tuple[str, str]] = {
    "ewes": ("ewes_ewe", "live_ewes_key"), "lambing": ("lambing_ewe", "live_lambing_ewe"),
    "lambs": ("lambs_ewe", "live_lambs_ewe"),
    "ewe_check": ("ewe_check_ewe", "live_checks_ewe"), "treatments": ("treatments_date", "live_treatments_ewe"),
}
BELOW, BELOW_ROWS = "_below", 2_000  # how a name for cells under the last row laid ready ends, and how many there are


def beyond(sheet: str) -> str:
    """Rows of an entry sheet that no block of formulas reads: under the last one laid ready, or pushed there by inserted ones."""
    column, block = READ_BY[sheet]
    read = f"COUNTA(INDEX({column},1):INDEX({column},MIN(ROWS({column}),ROWS({block}))))"
    return f"COUNTA({column})-{read}+COUNTA({column}{BELOW})"


# The only cell with a clock: everything that depends on the time depends on it.
NOW = LiveCell("now", f"IF(ISNUMBER({_setting('as_of')}),{_setting('as_of')},NOW())")

CELLS: tuple[LiveCell, ...] = (
    LiveCell("minute", f"ROUND(live_now*{MINUTES},0)"),
    *(LiveCell(id, _own_or_default(id)) for id in USED),
    LiveCell("writes_looks", "COUNTA(lambing_next_day)+COUNTA(lambing_sides_next_day)+COUNTA(lambs_belly)"),
    LiveCell("all_ewes_until", "IF(COUNT(live_treatments_all_ewes)=0,0,LARGE(live_treatments_all_ewes,1))"),
    LiveCell("all_ewes_unknown", "COUNTIF(live_treatments_all_ewes_unknown,1)"),
    *(LiveCell(f"lost_{link.removeprefix('live_')}", _lost(link)) for link in LINKS),
    LiveCell("beyond", "+".join(f"live_beyond_{sheet}" for sheet in READ_BY)),
    LiveCell("lost", "+".join(f"live_lost_{link.removeprefix('live_')}" for link in LINKS) + "+COUNTIF(live_lambs_adrift,1)"),
)
