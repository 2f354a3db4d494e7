"""Turnout: which ewes go out together, by lambs at their side and age, and of groups known by counts how many of each kind."""

from template_builder.files.look import BODY, COUNT, DATE, STRONG
from template_builder.layout.choices import Stage
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds, place
from template_builder.live.ewe_block import EWES
from template_builder.live.formulas import code, day_words, key, key_row, latest, matched, number, text
from template_builder.live.row_links import there
from template_builder.live.settings_cells import own_or_default
from template_builder.plan.turnout import AGES, LITTERS, MOST_HEATS, NOT_KNOWN, OLDER_FROM

BY_EWE_TOP, BY_GROUP_TOP = 6, 13  # the first rows of the two lists
TODAY = "INT(live_now)"
_CENTRED = BODY.with_(align="center")


def _of_ewe(column: str) -> str:
    return EWES.beside(column)


def _of_group(column: str) -> str:
    return f"INDEX(live_groups_{column},{{k}})"


_YOUNG, _OLD = OLDER_FROM

# Whether she still has to go out: with lambs at her side, not turned out herself, and not lambed before her group went.
OUT = LiveSheet("out", (
    LiveColumn("group_out", f'IF({_of_ewe("group")}=0,"",INDEX(live_by_count_turnout,{_of_ewe("group")}))'),
    LiveColumn("out", f'IF({_of_ewe("at")}=0,0,IF(TRIM(INDEX(lambing_turned_out_on,{_of_ewe("at")})&"")'
                      f'&TRIM(INDEX(lambing_turned_out_to,{_of_ewe("at")})&"")="",0,1))'),
    LiveColumn("with_group", f'IF(ISNUMBER({{group_out}}),IF({{group_out}}>{TODAY},0,IF(ISNUMBER({_of_ewe("lambed_day")}),'
                             f'IF({_of_ewe("lambed_day")}<={{group_out}},1,0),1)),0)'),
    LiveColumn("lambs", f"IF(AND({_of_ewe('first')}=1,{_of_ewe('gone')}=0,{_of_ewe('weaned')}=0,{{out}}+{{with_group}}=0),"
                        f"{_of_ewe('at_side')},0)"),
    LiveColumn("litter", f"MIN({len(LITTERS)},{{lambs}})"),
    LiveColumn("age", f'IF({{lambs}}=0,0,IF(ISNUMBER({_of_ewe("lambed_day")}),1+IF({TODAY}-{_of_ewe("lambed_day")}>={_YOUNG},1,0)'
                      f'+IF({TODAY}-{_of_ewe("lambed_day")}>={_OLD},1,0),{NOT_KNOWN}))'),
), rows_of="ewes")

BY_EWE = LiveSheet("turnout", (
    LiveColumn("words", "", "Lambs at her side", width=24, style=STRONG),
    *(LiveColumn(f"age_{number}", f"COUNTIFS(live_out_litter,{{k}}+0,live_out_age,{number})", f"Ewes, lambs {words}",
                 width=16.5, style=COUNT)
      for number, words in enumerate(AGES, start=1)),
    LiveColumn("ewes", "COUNTIF(live_out_litter,{k}+0)", "Ewes", width=16.5, style=COUNT),
    LiveColumn("lambs", "SUMIF(live_out_litter,{k}+0,live_out_lambs)", "Lambs", width=16.5, style=COUNT),
), rows=len(LITTERS))

# The counts that say how many ewes and lambs a group has before weaning.
COUNTED = LiveSheet("counted", (
    LiveColumn("name", there("counts_group", text("counts_group"))),
    LiveColumn("group", matched("{name}", "live_groups_name")),
    LiveColumn("stage", there("counts_stage", code("counts_stage", Stage), "0")),
    LiveColumn("day", there("counts_date", number("counts_date"))),
    LiveColumn("ewes", there("counts_ewes", number("counts_ewes"))),
    LiveColumn("lambs", there("counts_lambs", number("counts_lambs"))),
    LiveColumn("key", f"IF(AND({{group}}>0,{{stage}}>0,{{stage}}<{place(Stage.WEANING)},ISNUMBER({{ewes}}),ISNUMBER({{lambs}})),"
                      f"{key('{group}', '{day}')},0)"),
), rows_of="counts")


def _tally(size: int) -> LiveColumn:
    return LiveColumn(f"tally_{size}", f"IF({{listed}}=0,0,N(INDEX(groups_tally_{size},{{k}})))")


def _share(rounds: int) -> str:
    """The share of the first heat where so many rounds of matings were had."""
    failed = "(1-live_conception)"
    return "1/(" + "+".join(["1", *("*".join([failed] * heat) for heat in range(1, rounds))]) + ")"


def _by_heats() -> str:
    few = ((f"{{heats}}={rounds}", _share(rounds)) for rounds in range(1, MOST_HEATS))
    return first_that_holds(few, _share(MOST_HEATS))


def _first_and_last(column: str) -> str:
    """The day from which or until which the lambs of a group are born, as far as today."""
    return f'IF(ISNUMBER({{{column}}}),IF({{{column}}}+live_gestation>{TODAY},{TODAY},{{{column}}}+live_gestation),"")'


BY_COUNT = LiveSheet("by_count", (
    LiveColumn("turnout", f'IF({_of_group("name")}="","",{number("groups_turnout")})'),
    LiveColumn("weaned", f'IF(ISNUMBER({_of_group("weaning")}),IF({_of_group("weaning")}<={TODAY},1,0),0)'),
    LiveColumn("listed", f'IF(AND({_of_group("name")}<>"",{_of_group("counted")}=1,{{weaned}}=0),1,0)'),
    *(_tally(size) for size in range(1, 5)),
    LiveColumn("count", f"IF({{listed}}=0,0,{latest('live_counted_key')})"),
    LiveColumn("last", f"IF({{count}}>0,{key_row('{count}')},0)"),
    LiveColumn("day", 'IF({last}=0,"",INDEX(live_counted_day,{last}))'),
    LiveColumn("ewes", "IF({last}>0,INDEX(live_counted_ewes,{last}),{tally_1}+{tally_2}+{tally_3}+{tally_4})"),
    LiveColumn("lambs", "IF({last}>0,INDEX(live_counted_lambs,{last}),{tally_1}+2*{tally_2}+3*{tally_3}+4*{tally_4})"),
    LiveColumn("beyond", "MAX(0,{lambs}-{ewes})"),
    LiveColumn("left", "MAX(0,{beyond}-3*{tally_4})"),
    LiveColumn("least", "MIN({tally_4},INT(({beyond}+2)/3))+MIN({tally_3},INT(({left}+1)/2))+MAX(0,{left}-2*{tally_3})"),
    LiveColumn("big", "IF({tally_1}+{tally_2}+{tally_3}+{tally_4}>0,{tally_2}+{tally_3}+{tally_4},{ewes})"),
    LiveColumn("most", "MAX({least},MIN({big},{ewes},INT({lambs}/2)))"),
    LiveColumn("ram_in", 'IF({listed}=0,"",' + number("groups_ram_in") + ")"),
    LiveColumn("ram_out", f'IF({{listed}}=0,"",{_of_group("ram_out")})'),
    LiveColumn("days", "IF(AND(ISNUMBER({ram_in}),ISNUMBER({ram_out})),MAX(1,{ram_out}-{ram_in}+1),0)"),
    LiveColumn("whole", "INT({days}/live_cycle)"),
    LiveColumn("heats", f"MIN({MOST_HEATS},{{whole}}+IF({{days}}>{{whole}}*live_cycle,1,0))"),
    LiveColumn("older", f'IF({{heats}}=0,"",ROUND({{ewes}}*{_by_heats()},0))'),
    LiveColumn("born_from", _first_and_last("ram_in")),
    LiveColumn("born_to", _first_and_last("ram_out")),
), rows_of="groups")


def _listed(then: str) -> str:
    return f'IF(INDEX(live_by_count_listed,{{k}})*INDEX(live_by_count_ewes,{{k}})=0,"",{then})'


def _shown(column: str) -> str:
    return _listed(f"INDEX(live_by_count_{column},{{k}})")


_COUNT_OF = day_words("INDEX(live_by_count_day,{k})")
IN_GROUPS = LiveSheet("groups_out", (
    LiveColumn("group", _listed("INDEX(live_groups_name,{k})"), "Group known by its counts", width=24, style=STRONG),
    LiveColumn("source", _listed('IF(INDEX(live_by_count_last,{k})=0,"as scanned",IF(ISNUMBER(INDEX(live_by_count_day,{k})),'
                                 f'"count of "&{_COUNT_OF},"count"))'), "From", width=16.5, style=_CENTRED),
    LiveColumn("ewes", _shown("ewes"), "Ewes", width=16.5, style=COUNT),
    LiveColumn("lambs", _shown("lambs"), "Lambs", width=16.5, style=COUNT),
    LiveColumn("least", _listed('IF(INDEX(live_by_count_last,{k})=0,"",INDEX(live_by_count_least,{k}))'),
               "With two or more, at least", width=16.5, style=COUNT),
    LiveColumn("most", _shown("most"), "With two or more, at most", width=16.5, style=COUNT),
    LiveColumn("older", _shown("older"), "Ewes of the first heat, about: older lambs", width=16.5, style=COUNT),
    LiveColumn("born_from", _shown("born_from"), "Oldest lambs born about", width=16.5, style=DATE),
    LiveColumn("born_to", _shown("born_to"), "Youngest born about", width=16.5, style=DATE),
), rows_of="groups")

TURNOUT_HEAD = LiveCell("turnout_head", (
    'IF(COUNTIF(live_out_litter,">0")=0,"No ewe with lambs at her side is waiting to go out.","Not gone out yet: "&'
    'COUNTIF(live_out_litter,">0")&IF(COUNTIF(live_out_litter,">0")=1," ewe"," ewes")&" with "&SUM(live_out_lambs)&'
    'IF(SUM(live_out_lambs)=1," lamb"," lambs")&'
    'IF(COUNTIF(live_out_litter,">0")=1," at her side."," at their side."))'
))
TURNOUT_CELLS = tuple(LiveCell(id, own_or_default(id)) for id in ("conception", "cycle"))
