"""The hidden block of ewes: what is known of each now, every alert as a number, and her place in the lists."""

from collections.abc import Iterator

from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS, Alert
from template_builder.layout.choices import Choice, EweLeft, NextDay, Prolapse, Teats, YesNo
from template_builder.layout.columns import Kind
from template_builder.layout.sheets.lambing import LAMBED, LAMBING
from template_builder.layout.sides import A_SIDE_DRY, BOTH_IN_MILK, BOTH_SIDES
from template_builder.live.columns import LiveColumn, LiveSheet, place
from template_builder.live.formulas import (
    DAY,
    EWE,
    FIRST,
    MINUTES,
    NO_MINUTE,
    URGENCY,
    code,
    day_minute,
    earliest,
    key_minute,
    key_row,
    latest,
    matched,
    minute,
    number,
    packed,
    rank,
    said,
    text,
)
from template_builder.live.lamb_block import MOST_LAMBS, SET_ON_DAYS, ranked
from template_builder.live.row_links import there


def _if_ewe(then: str, otherwise: str = '""') -> str:
    return f"IF({{first}}=0,{otherwise},{then})"


def _on_ewes(id: str) -> LiveColumn:
    return LiveColumn(id, _if_ewe(number(f"ewes_{id}")))


def _on_lambing(id: str, column: str = "") -> LiveColumn:
    return LiveColumn(id, f'IF({{at}}=0,"",{number(f"lambing_{column or id}", "{at}")})')


def _coded(id: str, choices: type[Choice]) -> LiveColumn:
    return LiveColumn(id, f"IF({{at}}=0,0,{code(f'lambing_{id}', choices, '{at}')})")


def _filled(id: str) -> str:
    """Whether a column of Lambing holds anything: a word is a number here, 0 where it is blank."""
    blank = "0" if LAMBING.column(id).kind is Kind.CHOICE else '""'
    return f"{{{id}}}<>{blank}"


_LAMBED = f"OR({','.join(map(_filled, LAMBED))})"
_ALL_WELL = f"{{all_well}}={place(YesNo.YES)}"

READ = (
    LiveColumn("name", there("ewes_ewe", f'IF({text("ewes_ewe")}="?","",{text("ewes_ewe")})')),
    LiveColumn("first", f'IF({{name}}="",0,IF({matched("{name}", "live_ewes_name")}={{k}},1,0))'),
    LiveColumn("at", _if_ewe("IFERROR(MATCH({k},live_lambing_ewe,0),0)", "0")),
    LiveColumn("group", _if_ewe('IF(INDEX(ewes_group,{k})="",0,IFERROR(MATCH(' + text("ewes_group") + ",live_groups_name,0),0))",
                                "0")),
    *(_on_ewes(id) for id in ("scanned", "due", "mated_on", "left_on")),
    *(_on_lambing(id) for id in ("lambed_on", "finished")),
    _on_lambing("waters", "waters_seen"),
    *(_on_lambing(id) for id in ("born_alive", "born_dead")),
    _on_lambing("sides", "sides_in_milk"),
    _on_lambing("sides_next", "sides_next_day"),
    LiveColumn("left_how", _if_ewe(code("ewes_left_how", EweLeft), "0")),
    _coded("all_well", YesNo), _coded("teats", Teats), _coded("prolapse", Prolapse), _coded("next_day", NextDay),
    _coded("afterbirth", YesNo),
)

LAMBS = (
    LiveColumn("borne", _if_ewe("SUMIF(live_lambs_bearer,{k},live_lambs_borne)", "0")),
    LiveColumn("reared", _if_ewe("SUMIF(live_lambs_rearer,{k},live_lambs_reared)", "0")),
    LiveColumn("rows", packed("{borne}", 0)),
    LiveColumn("lambs", "IF({rows}>0,{rows},N({born_alive})+N({born_dead}))"),
    LiveColumn("born", f"IF({{rows}}>0,{packed('{borne}', 1)},{{lambs}})"),
    LiveColumn("aborted_lambs", packed("{borne}", 2)),
    LiveColumn("alive_here", f"IF({{rows}}>0,{packed('{borne}', 3)},N({{born_alive}}))"),
    LiveColumn("bellies", packed("{borne}", 4)),
    LiveColumn("unnamed", "IF({rows}>0,0,N({born_alive}))"),
    LiveColumn("unnamed_dead", "IF({rows}>0,0,N({born_dead}))"),
    LiveColumn("at_side", f"{packed('{reared}', 0)}+{{unnamed}}"),
    LiveColumn("flagged", packed("{reared}", 1)),
    *(LiveColumn(id, f"IF({{flagged}}=0,0,{latest(f'live_lambs_{id}_key')})") for id in ("hollow", "unsucked", "refused")),
)


def _looked(id: str, formula: str) -> LiveColumn:
    return LiveColumn(id, f"IF({{checks}}=0,0,{formula})")


CHECKS = (
    LiveColumn("checks", _if_ewe("COUNTIF(live_checks_ewe,{k})", "0")),
    _looked("look", latest("live_checks_look_key")),
    _looked("teats_look", latest("live_checks_teats_key")),
    _looked("milk_look", latest("live_checks_milk_key")),
    _looked("mastitis_look", latest("live_checks_mastitis_key")),
    _looked("sleepy_look", latest("live_checks_sleepy_key")),
    _looked("prolapse_look", latest("live_checks_prolapse_key")),
    _looked("aborted_look", earliest("live_checks_aborted_key")),
    LiveColumn("treated", _if_ewe("COUNTIF(live_treatments_ewe,{k})", "0")),
    LiveColumn("bad", _if_ewe(
        'IF(SUMPRODUCT(NOT(ISNUMBER({scanned}:{sides_next}))*({scanned}:{sides_next}<>"")*({scanned}:{sides_next}<>"?"))'
        f"+COUNTIF({{left_how}}:{{afterbirth}},-1)+{packed('{borne}', 5)}"
        "+IF({checks}=0,0,COUNTIF(live_checks_bad,{k}))+IF({treated}=0,0,COUNTIF(live_treatments_bad,{k}))"
        "+IF({group}=0,0,INDEX(live_groups_bad,{group}))>0,1,0)", "0")),
)

def _since_look(look: str) -> str:
    """The minute of a look; that of her lambing where there was none or it bears no date."""
    return f"IF(IF({look}>0,{key_minute(look)}<{NO_MINUTE},FALSE),{key_minute(look)},{{lambed_minute}})"


KNOWN = (
    LiveColumn("gone", _if_ewe('IF(OR({left_on}<>"",{left_how}<>0),1,0)', "0")),
    LiveColumn("crowd", "IF({gone}=1,-1,{at_side})"),
    LiveColumn("lambed_at", 'IF(N({finished})>=1,{finished},IF(ISNUMBER({lambed_on}),INT({lambed_on})+N({finished}),""))'),
    LiveColumn("lambed_minute", minute("{lambed_at}")),
    # A time without a day is the last such time before now.
    LiveColumn("waters_at", 'IF(ISNUMBER({waters}),IF({waters}>=1,{waters},'
                            'INT(live_now)+{waters}-IF(INT(live_now)+{waters}>live_now,1,0)),"")'),
    LiveColumn("waters_minute", minute("{waters_at}")),
    LiveColumn("aborted", "IF(AND({born}=0,OR({aborted_lambs}>0,{aborted_look}>0)),1,0)"),
    LiveColumn("lambed", f"IF(OR({{born}}>0,AND({{at}}>0,{{aborted}}=0,{_LAMBED})),1,0)"),
    LiveColumn("ram_out", 'IF({group}=0,"",INDEX(live_groups_ram_out,{group}))'),
    LiveColumn("last_day", _if_ewe(
        "IF(ISNUMBER({mated_on}),INT(INT({mated_on})+live_gestation_most),IF(ISNUMBER({ram_out}),"
        "INT(INT({ram_out})+live_gestation_most),"
        'IF(ISNUMBER({due}),INT(INT({due})+live_gestation_most-live_gestation),"")))')),
    LiveColumn("watched", _if_ewe("IF(OR({gone}=1,IF({group}=0,0,INDEX(live_groups_counted,{group}))=1),0,1)", "0")),
    LiveColumn("looked", 'IF(OR({next_day}<>0,{sides_next}<>"",{bellies}>0,IF(AND({look}>0,ISNUMBER({lambed_on})),'
                         f"INT({{look}}/{DAY})-{{k}}*{EWE // DAY}>INT({{lambed_on}}),FALSE)),1,0)"),
    LiveColumn("last_sides", f"IF({{milk_look}}>0,INDEX(live_checks_sides,{key_row('{milk_look}')}),IF(ISNUMBER({{sides_next}}),"
                             f"{{sides_next}},IF(ISNUMBER({{sides}}),{{sides}},"
                             f'IF(AND({{sides}}="",{_ALL_WELL}),{BOTH_SIDES},""))))'),
    LiveColumn("sides_since", _since_look("{milk_look}")),
    LiveColumn("last_teats", f"IF({{teats_look}}>0,INDEX(live_checks_teats,{key_row('{teats_look}')}),{{teats}})"),
    LiveColumn("teats_since", _since_look("{teats_look}")),
)


def _here(condition: str) -> str:
    return f"AND({{first}}=1,{{gone}}=0,{condition})"


def _watched(condition: str) -> str:
    return f"AND({{watched}}=1,{condition})"


def raised_id(alert: Alert) -> str:
    """The column that says whether she has this alert."""
    return f"alert_{alert.id}"


def _raised(alert: Alert, condition: str, since: str) -> LiveColumn:
    """0, or urgency and since which minute; worked out only where the alert is raised."""
    return LiveColumn(raised_id(alert), f"IF({condition},{ranked(alert, since)},0)")


def _by_lamb(alert: Alert, key: str, otherwise: str = "0") -> LiveColumn:
    """From her lambs: the freshest of those it concerns."""
    return LiveColumn(raised_id(alert), f"IF({{gone}}=1,0,IF({key}>0,{ranked(alert, f'({key}-{{k}}*{EWE})')},{otherwise}))")


def _by_key(alert: Alert, keys: str) -> LiveColumn:
    """From treatments: the earliest of them."""
    found = earliest(keys)
    ranked_since = f"{rank(alert, alert.urgency)}+{found}-{{k}}*{EWE}"
    return LiveColumn(raised_id(alert), f"IF(OR({{gone}}=1,{{treated}}=0),0,IF({found}>0,{ranked_since},0))")


_PROLAPSED = said("{prolapse}", Prolapse) + f",{{prolapse}}<>{place(Prolapse.NONE)}"
_LABOUR = _watched("{at}>0,{lambed}=0,{aborted}=0,ISNUMBER({waters_at}),{since_waters}>=live_long_labour*60")
_LAPSED = int(alerts.LABOUR_LAPSES.total_seconds()) // 60
_UNLOOKED = _watched('{at}>0,ISNUMBER({lambed_at}),{alive_here}>0,{looked}=0')
_LOOK_LAPSED = int(alerts.NEXT_LOOK_LAPSES.total_seconds()) // 60
_LITTER = _watched("{lambed}=1,N({scanned})>0,{lambs}>0")

SINCE = (
    LiveColumn("since_waters", f"IF({{waters_minute}}={NO_MINUTE},0,live_minute-{{waters_minute}})"),
    LiveColumn("since_lambed", f"IF({{lambed_minute}}={NO_MINUTE},0,live_minute-{{lambed_minute}})"),
)

_FORMULAS = (
    _raised(alerts.LONG_LABOUR, f"AND({_LABOUR},{{since_waters}}<={_LAPSED})", "{waters_minute}"),
    _raised(alerts.WOMB_PROLAPSE, _here(f"{{prolapse}}={place(Prolapse.WOMB)}"), "{lambed_minute}"),
    LiveColumn(raised_id(alerts.PROLAPSE), f"IF({{gone}}=1,0,IF({{prolapse}}={place(Prolapse.VAGINAL)},"
               f"{ranked(alerts.PROLAPSE, '{lambed_minute}')},IF(AND(NOT(AND({_PROLAPSED})),{{prolapse_look}}>0),"
               f"{ranked(alerts.PROLAPSE, key_minute('{prolapse_look}'))},0)))"),
    _raised(alerts.ABORTED, _here("OR({aborted_lambs}>0,{aborted_look}>0)"),
            f"IF(IF({{aborted_look}}>0,{key_minute('{aborted_look}')}<{NO_MINUTE},FALSE),{key_minute('{aborted_look}')},"
            f"{day_minute('{lambed_on}')})"),
    _raised(alerts.MASTITIS, _here("{mastitis_look}>0"), key_minute("{mastitis_look}")),
    _raised(alerts.SLEEPY, _here("{sleepy_look}>0"), key_minute("{sleepy_look}")),
    _raised(alerts.ORPHANS, "AND({first}=1,{gone}=1,{at_side}>0,NOT(IF({group}=0,FALSE,AND(ISNUMBER({left_on}),"
            "ISNUMBER(INDEX(live_groups_weaning,{group})),INT(N({left_on}))>=INT(N(INDEX(live_groups_weaning,{group})))))))",
            day_minute("{left_on}")),
    _by_lamb(alerts.NOT_SUCKING, "{unsucked}"),
    _by_lamb(alerts.HOLLOW, "{hollow}",
             f"IF({{next_day}}={place(NextDay.ONE_HOLLOW)},{ranked(alerts.HOLLOW, '{lambed_minute}')},0)"),
    _by_lamb(alerts.REFUSED, "{refused}"),
    _raised(alerts.TROUBLE, _here(f"{{next_day}}={place(NextDay.TROUBLE)}"), "{lambed_minute}"),
    _raised(alerts.NEXT_LOOK, f"AND({_UNLOOKED},{{since_lambed}}>=live_next_look*60,{{since_lambed}}<={_LOOK_LAPSED})",
            "{lambed_minute}"),
    _raised(alerts.HELPED_TO_SUCK, _here(f"{{next_day}}={place(NextDay.HELPED)}"), "{lambed_minute}"),
    _raised(alerts.SIDE_DRY, _here(A_SIDE_DRY.formula("{last_sides}")), "{sides_since}"),
    _raised(alerts.LARGE_TEATS, _here(f"{{last_teats}}={place(Teats.LARGE)},{{at_side}}>0"), "{teats_since}"),
    _raised(alerts.MISSING_LAMB, f"AND({_LITTER},{{lambs}}<N({{scanned}}))", "{lambed_minute}"),
    _raised(alerts.MORE_LAMBS, f"AND({_LITTER},{{lambs}}>N({{scanned}}))", "{lambed_minute}"),
    _raised(alerts.RECTAL_PROLAPSE, _here(f"{{prolapse}}={place(Prolapse.RECTAL)}"), "{lambed_minute}"),
    _raised(alerts.OVERDUE, _watched("N({scanned})>0,{lambed}=0,{aborted}=0,ISNUMBER({last_day}),INT(live_now)>N({last_day})"),
            day_minute("{last_day}")),
    _by_key(alerts.WITHDRAWAL, "live_treatments_running_key"),
    _raised(alerts.LABOUR_NOT_RECORDED, f"AND({_LABOUR},{{since_waters}}>{_LAPSED})", "{waters_minute}"),
    _raised(alerts.LOOK_NOT_RECORDED, f"AND({_UNLOOKED},{{since_lambed}}>{_LOOK_LAPSED},live_writes_looks>0)", "{lambed_minute}"),
    _by_key(alerts.WITHDRAWAL_UNKNOWN, "live_treatments_unknown_key"),
)


def _in_order() -> Iterator[LiveColumn]:
    by_id = {column.id: column for column in _FORMULAS}
    yield from (by_id[raised_id(alert)] for alert in ALERTS)


# Ewes left out of Set on while one of these is on her: ill, aborted, or unwilling.
NOT_FOR_SETTING_ON = (
    alerts.WOMB_PROLAPSE, alerts.PROLAPSE, alerts.RECTAL_PROLAPSE, alerts.ABORTED, alerts.MASTITIS, alerts.SLEEPY,
    alerts.NOT_SUCKING, alerts.REFUSED,
)
_LATER = alerts.END * URGENCY
_ON_HER = ",".join(f"AND({{{raised_id(alert)}}}>0,{{{raised_id(alert)}}}<{_LATER})" for alert in NOT_FOR_SETTING_ON)
_ALERT_CELLS = f"{{{raised_id(ALERTS[0])}}}:{{{raised_id(ALERTS[-1])}}}"

RANKED = (
    LiveColumn("worst", f"IF(COUNTIF({_ALERT_CELLS},0)={len(ALERTS)},0,SMALL({_ALERT_CELLS},COUNTIF({_ALERT_CELLS},0)+1))"),
    # An error anywhere in her row gives the smallest key of all: she stands on top of the Watch list.
    LiveColumn("key", f'IFERROR(IF({{first}}=0,"",IF({{bad}}>0,{{k}},IF(OR({{worst}}=0,{{worst}}>={_LATER}),"",'
                      f"{{worst}}*{FIRST}+{{k}}))),{{k}})"),
    LiveColumn("room", f"IF({BOTH_IN_MILK.formula('{last_sides}')},{MOST_LAMBS}-{{at_side}},0)"),
    LiveColumn("room_key", 'IFERROR(IF(AND({first}=1,{gone}=0,{lambed}=1,{aborted}=0,{bad}=0,{room}>0,ISNUMBER({lambed_at}),'
                           f"{{since_lambed}}>=0,{{since_lambed}}<={SET_ON_DAYS * MINUTES},NOT(OR({_ON_HER}))),"
                           f'{{at_side}}*{FIRST**2 * 10}+{{since_lambed}}*{FIRST}+{{k}},""),"")'),
    LiveColumn("until", _if_ewe(f"MAX(IF({{treated}}=0,0,MAX(0,INT(({latest('live_treatments_until_key')}-{{k}}*{EWE})/{DAY}))),"
                                "IF({group}=0,0,MAX(0,INDEX(live_groups_until,{group}))),live_all_ewes_until)", "0")),
    LiveColumn("until_unknown", _if_ewe(f"IF(OR({{{raised_id(alerts.WITHDRAWAL_UNKNOWN)}}}>0,"
                                        "IF({group}=0,0,INDEX(live_groups_unknown,{group}))>0,live_all_ewes_unknown>0),1,0)",
                                        "0")),
    LiveColumn("lambed_day", 'IF(AND({lambed}=1,ISNUMBER({lambed_on})),INT({lambed_on}),"")'),
    LiveColumn("size", _if_ewe('IF(ISNUMBER({scanned}),MIN({scanned},4),-1)', "-2")),
    LiveColumn("lambed_size", "IF({lambed}=1,{size},-2)"),
)

EWES = LiveSheet("ewes", (*READ, *LAMBS, *CHECKS, *KNOWN, *SINCE, *_in_order(), *RANKED), rows_of="ewes")
