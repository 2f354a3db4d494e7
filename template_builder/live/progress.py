"""What has come, on Progress: live totals while the season runs, and the numbers its pictures are drawn from."""

from template_builder.files.look import TALLY
from template_builder.layout.alerts import NEXT_LOOK, NOW, SOON, TODAY
from template_builder.layout.choices import Born, EweLeft, LambLeft, RearedBy
from template_builder.live.below import BELOW_ON
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, place
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.formulas import FIRST, starts

DAYS = 60  # as long as a lambing lasts, two rounds of matings and late ewes
BEFORE_MIDDLE = 28  # of these at most so many before the day by which half of the ewes had lambed
SIZES = ("not scanned", "empty", "1", "2", "3", "4 or more")


def _ewes(column: str) -> str:
    return f"COUNTIF(live_ewes_{column},1)"


def _lambs_here(how: RearedBy) -> str:
    return f"COUNTIFS(live_lambs_here,1,live_lambs_how,{place(how)})"


def _between(low: int, high: int) -> str:
    keys = "live_ewes_worst"
    return f'COUNTIF({keys},">={starts(low)}")-COUNTIF({keys},">={starts(high)}")'


_DEAD = "+".join(f"COUNTIF(live_lambs_born,{place(born)})" for born in (Born.DEAD_FRESH, Born.DEAD_DECAYED))

Totals = tuple[tuple[str, tuple[LiveCell, ...]], ...]

SO_FAR: Totals = (
    ("Ewes", (
        LiveCell("ewes", _ewes("first"), "Ewes on the list"),
        LiveCell("gone", "COUNTIFS(live_ewes_first,1,live_ewes_gone,1)", "of them died, sold, missing"),
        LiveCell("ewes_died", f"COUNTIF(live_ewes_left_how,{place(EweLeft.DIED)})", "of those died"),
        LiveCell("in_lamb", 'COUNTIF(live_ewes_scanned,">0")', "Ewes scanned in lamb"),
        LiveCell("in_lamb_lambed", 'COUNTIFS(live_ewes_scanned,">0",live_ewes_lambed,1)', "of them lambed"),
        LiveCell("in_lamb_aborted", 'COUNTIFS(live_ewes_scanned,">0",live_ewes_aborted,1)', "of them aborted"),
        LiveCell("to_lamb", 'COUNTIFS(live_ewes_scanned,">0",live_ewes_lambed,0,live_ewes_aborted,0,live_ewes_gone,0)',
                 "of them still to lamb"),
        LiveCell("lambed", _ewes("lambed"), "All ewes lambed"),
    )),
    ("To look at", (
        LiveCell("urgent_now", _between(NOW, TODAY), "Ewes to look at now"),
        LiveCell("urgent_today", _between(TODAY, SOON), "Ewes to look at today"),
        LiveCell("looks_due", f'COUNTIF(live_ewes_{raised_id(NEXT_LOOK)},">0")', "Next looks due"),
        LiveCell("unread", f'COUNTIF(live_ewes_key,"<{FIRST}")', "Ewes whose rows cannot be read"),
    )),
    ("Rows whose ewe is not on Ewes", tuple(
        LiveCell(f"lost_on_{id}", f"live_lost_{id}", words) for id, words in (
            ("lambing_ewe", "On Lambing"), ("lambs_ewe", "On Lambs"), ("lambs_foster", "On Lambs, foster ewe"),
            ("checks_ewe", "On Ewe check"), ("treatments_ewe", "On Treatments"))
    )),
)
# Beside them.
BESIDE: Totals = (
    ("Lambs", (
        LiveCell("born_alive", "COUNTIF(live_lambs_alive,1)+SUM(live_ewes_unnamed)", "Lambs born alive"),
        LiveCell("born_dead", f"{_DEAD}+SUM(live_ewes_unnamed_dead)", "Lambs born dead"),
        LiveCell("lost_early", f"COUNTIF(live_lambs_born,{place(Born.MUMMIFIED)})+COUNTIF(live_lambs_born,{place(Born.ABORTED)})",
                 "Mummified or aborted"),
        LiveCell("died", f"COUNTIFS(live_lambs_alive,1,live_lambs_left_how,{place(LambLeft.DIED)})", "Born alive, died since"),
        LiveCell("missing", f"COUNTIFS(live_lambs_alive,1,live_lambs_left_how,{place(LambLeft.MISSING)})", "Missing"),
        LiveCell("sold", f"COUNTIFS(live_lambs_alive,1,live_lambs_left_how,{place(LambLeft.SOLD)})", "Sold or given away"),
        LiveCell("own_ewe", _lambs_here(RearedBy.OWN_EWE) + "+SUM(live_ewes_unnamed)", "Here, with their own ewe"),
        LiveCell("foster_ewe", _lambs_here(RearedBy.FOSTER_EWE), "Here, with a foster ewe"),
        LiveCell("pet", _lambs_here(RearedBy.PET), "Here, on the bottle"),
        LiveCell("no_ewe", _lambs_here(RearedBy.NO_EWE), "Here, with no ewe"),
    )),
    ("Rows below, not read", BELOW_ON),
)
TOTALS: Totals = (*SO_FAR, *BESIDE)

BY_SIZE = LiveSheet("by_size", (
    LiveColumn("size", "", "Scanned", width=11.4),
    LiveColumn("ewes", "COUNTIF(live_ewes_size,{k}-2)", "Ewes", width=11.4, style=TALLY.with_(indent=1)),
    LiveColumn("lambed", "COUNTIFS(live_ewes_size,{k}-2,live_ewes_lambed,1)", "Lambed", width=11.4, style=TALLY.with_(indent=1)),
), rows=len(SIZES), first_column=7, helpers_last=True)

# The day the chart begins with: the first lambing, unless a slip of the year or month put it far before the others.
FIRST_SHOWN = LiveCell(
    "first_shown", 'IF(COUNT(live_ewes_lambed_day)=0,"",MAX(SMALL(live_ewes_lambed_day,1),'
    f"SMALL(live_ewes_lambed_day,INT((COUNT(live_ewes_lambed_day)+1)/2))-{BEFORE_MIDDLE}))")
BY_DAY = LiveSheet("by_day", (
    LiveColumn("day", 'IF(live_first_shown="","",live_first_shown+{k}-1)'),
    LiveColumn("lambed", 'IF({day}="","",COUNTIF(live_ewes_lambed_day,{day}+0))'),
), rows=DAYS)
