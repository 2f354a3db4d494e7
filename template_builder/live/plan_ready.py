"""What to have ready before lambing, on Plan: as `template_builder.plan.spare` reckons it, in formulas, over the scans."""

from template_builder.files.look import COUNT, STRONG
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds
from template_builder.live.row_links import TALLIED
from template_builder.live.settings_cells import own_or_default, own_or_last
from template_builder.plan.spare import HAIR, MOST_IN_LITTER, REARS, STANDARD_DEVIATIONS

_SHARE, _ALL = "live_from_store", "INDEX(live_sizes_{},0)"


def _power(times: str) -> str:
    """The chance that so many lambs are all dead."""
    return "*".join(f"IF({times}>={number},{{dead}},1)" for number in range(1, MOST_IN_LITTER + 1))


def _if_big(then: str) -> str:
    return f"IF({{k}}>{REARS},{then},0)"


_TALLY = first_that_holds(((f"{{k}}={number}", f"SUM(live_groups_tally_{number})") for number in TALLIED), "0")

# Litters of 1 to 8: how many, and of one of them the mean and variance of lambs alive, beyond two, and in want of colostrum.
SIZES = LiveSheet("sizes", (
    LiveColumn("ewes", f'IF({{k}}={MOST_IN_LITTER},COUNTIF(live_plan_scanned,">{MOST_IN_LITTER - 1}"),'
                       f"COUNTIF(live_plan_scanned,{{k}}+0))+{_TALLY}"),
    LiveColumn("alive", "IF({k}>" + f"{REARS},live_big_litter_alive,live_small_litter_alive)/100"),
    LiveColumn("dead", "1-{alive}"),
    LiveColumn("born", "{k}*{alive}"),
    LiveColumn("born_variance", "{born}*{dead}"),
    LiveColumn("none", _power("{k}")),
    LiveColumn("one", f"{{born}}*{_power('({k}-1)')}"),
    LiveColumn("spare", _if_big(f"{{born}}-{REARS}+{REARS}*{{none}}+{{one}}")),
    LiveColumn("square", _if_big(f"{{born_variance}}+({{born}}-{REARS})*({{born}}-{REARS})-{REARS ** 2}*{{none}}-{{one}}")),
    LiveColumn("store", f"(1-{_SHARE})*{{spare}}+{_SHARE}*{{born}}"),
    LiveColumn("store_variance", f"(1-{_SHARE})*(1-{_SHARE})*({{square}}-{{spare}}*{{spare}})+{_SHARE}*{_SHARE}*{{born_variance}}"
               f"+2*{_SHARE}*(1-{_SHARE})*({{square}}+{REARS}*{{spare}}-{{spare}}*{{born}})"
               f"+{_SHARE}*(1-{_SHARE})*({{born}}-{{spare}})"),
), rows=MOST_IN_LITTER)


def _of_all(each: str) -> str:
    return f"SUMPRODUCT({_ALL.format('ewes')}*{each})"


_LAMBS = _of_all(_ALL.format("k"))
_SPARE, _SQUARE = _ALL.format("spare"), _ALL.format("square")
# What is counted, what it is for, its mean, its variance, and the most there can be.
COUNTED = (
    ('"Lambs born alive"', '"Tags to have in the house: the high number"', _of_all(_ALL.format("born")),
     _of_all(_ALL.format("born_variance")), _LAMBS),
    ('"Lambs for stored colostrum"', '"Ask your vet how to store and warm it"', _of_all(_ALL.format("store")),
     _of_all(_ALL.format("store_variance")), _LAMBS),
    ('"Lambs beyond two of big litters"', '"To go to another ewe, or on the bottle"', _of_all(_SPARE),
     _of_all(f"({_SQUARE}-{_SPARE}*{_SPARE})"), _of_all(f"({_ALL.format('k')}-{REARS})*({_ALL.format('k')}>{REARS})")),
)


def _of_row(place: int) -> str:
    """What stands at this place of the row's own count."""
    *before, last = (row[place] for row in COUNTED)
    return first_that_holds(((f"{{k}}={number}", each) for number, each in enumerate(before, start=1)), last)


_AWAY = f"{STANDARD_DEVIATIONS}*SQRT(MAX(0,{{variance}}))"

COUNTS = LiveSheet("counts", (
    LiveColumn("mean", _of_row(2)),
    LiveColumn("variance", _of_row(3)),
    LiveColumn("most", _of_row(4)),
    LiveColumn("low", f"MAX(0,INT({{mean}}-{_AWAY}+{HAIR:f}))"),
    LiveColumn("high", f"MIN({{most}},0-INT(0-({{mean}}+{_AWAY}-{HAIR:f})))"),
), rows=len(COUNTED))


def _if_any(then: str) -> str:
    return f'IF({{most}}=0,"",{then})'


READY = LiveSheet("ready", (
    LiveColumn("mean", "INDEX(live_counts_mean,{k})"),
    LiveColumn("most", "INDEX(live_counts_most,{k})"),
    LiveColumn("what", _if_any(_of_row(0)), "To have ready", width=31, style=STRONG),
    LiveColumn("expected", _if_any("ROUND({mean},0)"), "About", width=9, style=COUNT),
    LiveColumn("low", _if_any("INDEX(live_counts_low,{k})"), "Low (1 in 20 below)", width=12, style=COUNT),
    LiveColumn("high", _if_any("INDEX(live_counts_high,{k})"), "High (1 in 20 above)", width=13, style=COUNT),
    LiveColumn("why", _if_any(_of_row(1)), "What for", width=45),
), rows=len(COUNTED))

READY_CELLS = (
    LiveCell("big_litter_alive", own_or_last("big_litter_alive", "last_big_alive")),
    LiveCell("small_litter_alive", own_or_last("small_litter_alive", "last_stillborn", "100-{last}")),
    LiveCell("tallied", "+".join(f"SUM(live_groups_tally_{number})" for number in TALLIED)),
    LiveCell("from_store", f"({own_or_default('stored_colostrum')})/100"),
)
