"""The hidden blocks behind Plan: each ewe in lamb, the litters, the weeks at which a litter may be parted, what falls due.

The division into feeding groups is that of `template_builder.plan.groups`, in formulas. Nothing here looks at Lambing: typing at
night leaves it alone.
"""

from template_builder.layout.choices import FeedAs
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds
from template_builder.live.ewe_block import EWES
from template_builder.live.formulas import code, key_row, latest, number, said
from template_builder.live.settings_cells import own_or_default
from template_builder.plan.calendar import TASKS
from template_builder.plan.groups import FARTHEST, WEEK, Litter

WEEKS = 2 * FARTHEST // WEEK + 3  # rows: ewes without a week, then every week there can be
BY_LITTER, BY_GROUP = 100, 100_000  # keys of litter and week, of group and day
GROUPS_SHOWN = 7  # six at the most, and the ewes fed apart
SAME_NIGHTS = 1  # days either side: a lamb can wait so long for another ewe
NO_DUE = 99_999
ROW, HEAD = 100_000, 10_000_000_000  # of the key that sorts the list
THIN_BIG, THIN, FAT, OTHERS = 1, 2, 3, 4


def _of_ewe(column: str) -> str:
    return EWES.beside(column)


def _if_in_lamb(then: str, otherwise: str = '""') -> str:
    return f"IF({{litter}}=0,{otherwise},{then})"


def _gain(litter: Litter) -> LiveColumn:
    """How much more even the litter is parted after this week: early ewes times late ones."""
    first = litter * BY_LITTER
    early = f'(COUNTIF(live_plan_cell,"<"&{{next}}+{first})-COUNTIF(live_plan_cell,"<{first}"))'
    return LiveColumn(f"gain_{litter}", f"IF({{k}}=1,0,{early}*(INDEX(live_litters_ewes,{litter})-{early}))")


PLAN = LiveSheet("plan", (
    LiveColumn("scanned", f"IF(AND({_of_ewe('first')}=1,{_of_ewe('gone')}=0,ISNUMBER({_of_ewe('scanned')})),"
                          f"MAX(0,INT(N({_of_ewe('scanned')}))),0)"),
    LiveColumn("feed_as", f"IF({{scanned}}=0,0,{code('ewes_feed_as', FeedAs)})"),
    LiveColumn("litter", f"IF({{scanned}}=0,0,IF({said('{feed_as}', FeedAs)},{{feed_as}},MIN({Litter.BIG},{{scanned}})))"),
    LiveColumn("dated", _if_in_lamb(f'IF(ISNUMBER({_of_ewe("due")}),INT({_of_ewe("due")}),"")')),
    LiveColumn("near", f'IF({{dated}}="","",IF(AND({{dated}}-live_plan_middle<={FARTHEST},'
                       f'live_plan_middle-{{dated}}<={FARTHEST}),{{dated}},""))'),
    LiveColumn("week", f'IF({{near}}="",0,INT(({{near}}-live_plan_first_day)/{WEEK})+1)'),
    LiveColumn("cell", f"{{litter}}*{BY_LITTER}+{{week}}"),
    LiveColumn("group", _if_in_lamb("INDEX(live_litters_at,{litter})+IF(AND(INDEX(live_litters_parted,{litter})=1,"
                                    "{week}>INDEX(live_litters_last,{litter})),1,0)", "0")),
    LiveColumn("due_key", f'IF({{near}}="","",{{group}}*{BY_GROUP}+{{near}})'),
    LiveColumn("single_due", 'IF({scanned}=1,{near},"")'),
    LiveColumn("look", _if_in_lamb(f"IF({_of_ewe('checks')}=0,0,{latest('live_checks_condition_key')})", "0")),
    LiveColumn("condition", _if_in_lamb(f"IF({{look}}>0,INDEX(live_checks_condition,{key_row('{look}')}),"
                                        f"{number('ewes_condition')})")),
    LiveColumn("thin", 'IF(ISNUMBER({condition}),IF({condition}<live_thin_below,1,0),0)'),
    LiveColumn("fat", 'IF(AND({scanned}=1,ISNUMBER({condition})),IF({condition}>live_fat_above,1,0),0)'),
    LiveColumn("rank", f"IF({{thin}}=1,IF({{scanned}}>1,{THIN_BIG},{THIN}),IF({{fat}}=1,{FAT},{OTHERS}))"),
    LiveColumn("key", _if_in_lamb(
        f"({{rank}}*10000+IF({{thin}}=1,MAX(0,9-{{scanned}})*1000+ROUND(MIN(9,MAX(0,{{condition}}))*100,0),{{group}}*1000))*{HEAD}"
        f'+IF({{near}}="",{NO_DUE},{{near}})*{ROW}+{{k}}')),
), rows_of="ewes")

WEEK_BY_WEEK = LiveSheet("weeks", (
    LiveColumn("next", "{k}+0"),  # weeks up to this row's are less than it: the first row is that of no week
    *(_gain(litter) for litter in (Litter.SINGLES, Litter.TWINS, Litter.BIG)),
), rows=WEEKS)


def _by_litter(what: str) -> str:
    one, two, big = (what.format(litter=int(litter)) for litter in (Litter.SINGLES, Litter.TWINS, Litter.BIG))
    return f"IF({{k}}={Litter.SINGLES},{one},IF({{k}}={Litter.TWINS},{two},IF({{k}}={Litter.BIG},{big},0)))"


LITTERS = LiveSheet("litters", (
    LiveColumn("ewes", "COUNTIF(live_plan_litter,{k}+0)"),
    LiveColumn("before", f'COUNTIF(live_plan_cell,"<"&{{k}}*{BY_LITTER})-COUNTIF(live_plan_cell,"<{BY_LITTER}")'),
    # Whether a group begins with this litter; else it is fed with the one before.
    LiveColumn("opens", f"IF({{ewes}}=0,0,IF(OR({{k}}={Litter.APART},{{before}}=0,live_plan_litters<=live_plan_most),1,"
                        "IF(live_plan_most=1,0,IF({k}=live_plan_cut,1,0))))"),
    LiveColumn("gain", _by_litter("LARGE(live_weeks_gain_{litter},1)")),
    LiveColumn("last", _by_litter("MATCH(LARGE(live_weeks_gain_{litter},1),live_weeks_gain_{litter},0)-1")),
    LiveColumn("parted", 'IF({gain}=0,0,IF(COUNTIF(live_litters_gain,">"&{gain}+0)+COUNTIFS(live_litters_gain,{gain}+0,'
                         'live_litters_k,"<"&{k}+0)<live_plan_to_spare,1,0))'),
    LiveColumn("at", 'COUNTIFS(live_litters_opens,1,live_litters_k,"<"&{k}+1)'
               '+COUNTIFS(live_litters_parted,1,live_litters_k,"<"&{k}+0)'),
    LiveColumn("opener", 'IF({opens}=1,{at},"")'),
), rows=len(Litter))


_ONE, _TWO, _BIG = (f"INDEX(live_litters_ewes,{litter})" for litter in (Litter.SINGLES, Litter.TWINS, Litter.BIG))

SETTINGS = ("feeding_groups", "thin_below", "fat_above", *TASKS)
PLAN_CELLS = (
    *(LiveCell(id, own_or_default(id)) for id in SETTINGS),
    LiveCell("plan_most", "MAX(1,INT(live_feeding_groups))"),
    LiveCell("planned_ewes", "COUNT(live_plan_key)"),  # counted once: each line of Plan asks for it
    LiveCell("plan_middle", "IF(COUNT(live_plan_dated)=0,0,SMALL(live_plan_dated,INT((COUNT(live_plan_dated)+1)/2)))"),
    LiveCell("plan_first_day", "IF(COUNT(live_plan_near)=0,0,SMALL(live_plan_near,1))"),
    LiveCell("plan_litters", f"IF({_ONE}>0,1,0)+IF({_TWO}>0,1,0)+IF({_BIG}>0,1,0)"),
    LiveCell("plan_to_spare", "MAX(0,live_plan_most-live_plan_litters)"),
    LiveCell("plan_cut", f"IF({_ONE}*{_ONE}+({_TWO}+{_BIG})*({_TWO}+{_BIG})<=({_ONE}+{_TWO})*({_ONE}+{_TWO})+{_BIG}*{_BIG},"
                         f"{Litter.TWINS},{Litter.BIG})"),
)


def _days() -> str:
    *others, last = TASKS
    return first_that_holds(((f"{{task}}={place}", f"live_{task}") for place, task in enumerate(others, start=1)), f"live_{last}")


def _first_ewe() -> str:
    """Where on the list a group begins: behind the thin and fat ones, unless it has no others or its thin ones are meant."""
    thin = list(TASKS).index("thin_look") + 1
    return (f"IF(OR({{task}}={thin},COUNTIFS(live_plan_group,{{group}}+0,live_plan_rank,{OTHERS})=0),"
            f"MATCH(INDEX(live_feeding_title,{{group}}),live_planned_group,0),"
            'COUNTIF(live_plan_key,"<"&{others}+0)+1)')


TO_DO = LiveSheet("todo", (
    LiveColumn("task", f"INT(({{k}}-1)/{GROUPS_SHOWN})+1"),
    LiveColumn("group", f"{{k}}-{GROUPS_SHOWN}*({{task}}-1)"),
    LiveColumn("on", f'IF(INDEX(live_feeding_first,{{group}})="","",INDEX(live_feeding_first,{{group}})-INT({_days()}))'),
    LiveColumn("key", 'IF({on}="","",{on}*100+{k})'),
    LiveColumn("others", f"({OTHERS}0000+{{group}}*1000)*{HEAD}"),  # less than this are the keys of those who stand before them
    LiveColumn("first_ewe", f'IF({{on}}="",0,{_first_ewe()})'),
), rows=GROUPS_SHOWN * len(TASKS))
