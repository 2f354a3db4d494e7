"""Single cells that other formulas use: the moment, settings of the season, and what could not be matched."""

from template_builder.layout.choices import WeightUnit
from template_builder.layout.settings import SETTING
from template_builder.layout.weights import IN_KG
from template_builder.live.columns import LiveCell
from template_builder.live.formulas import MINUTES

USED = ("gestation", "gestation_most", "next_look", "labour_look", "long_labour")
LINKS = ("live_lambing_ewe", "live_lambs_ewe", "live_lambs_foster", "live_checks_ewe", "live_treatments_ewe")


def _setting(id: str) -> str:
    return f'INDEX(season_value,MATCH("{id}",season_row_key,0))'


def own_or_default(id: str) -> str:
    """The number Season has for a setting, else its default."""
    return f"IF(ISNUMBER({_setting(id)}),{_setting(id)},{SETTING[id].default})"


def own_or_last(id: str, last: str, of_last: str = "{last}") -> str:
    """The same; where Season has no number of its own, last season's figure (as `of_last` takes it) before the default."""
    written = of_last.format(last=_setting(last))
    return f"IF(ISNUMBER({_setting(id)}),{_setting(id)},IF(ISNUMBER({_setting(last)}),{written},{SETTING[id].default}))"


_UNIT = f'TRIM({_setting("weights_in")}&"")'
_POUNDS = (WeightUnit.LB.label, *WeightUnit.LB.spellings)
_IN_POUNDS = "OR(" + ",".join(f'{_UNIT}="{word}"' for word in _POUNDS) + ")"


def _lost(link: str) -> str:
    """Rows of one sheet that name a ewe Ewes does not have, or whose cell holds an error."""
    return f"COUNTIF({link},-1)+ROWS({link})-COUNT({link})"


# The only cell with a clock: everything that depends on the time depends on it.
NOW = LiveCell("now", f"IF(ISNUMBER({_setting('as_of')}),{_setting('as_of')},NOW())")

CELLS: tuple[LiveCell, ...] = (
    LiveCell("minute", f"ROUND(live_now*{MINUTES},0)"),
    *(LiveCell(id, own_or_default(id)) for id in USED),
    # Settings are in kg, weights on Lambs in the unit Season names: this one is put into theirs.
    LiveCell("small_lamb", f"({own_or_default('small_lamb')})/IF({_IN_POUNDS},{IN_KG[WeightUnit.LB]},1)"),
    LiveCell("all_ewes_until", "IF(COUNT(live_treatments_all_ewes)=0,0,LARGE(live_treatments_all_ewes,1))"),
    LiveCell("all_ewes_unknown", "COUNTIF(live_treatments_all_ewes_unknown,1)"),
    *(LiveCell(f"lost_{link.removeprefix('live_')}", _lost(link)) for link in LINKS),
    LiveCell("lost", "+".join(f"live_lost_{link.removeprefix('live_')}" for link in LINKS)
             + "+COUNTIFS(live_lambs_bad,1,live_lambs_bearer,0)"),
)
