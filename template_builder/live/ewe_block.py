"""The hidden block of ewes as a whole: her worst alert, her place in the lists, and what counts ewes."""

from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS
from template_builder.layout.choices import Feet, LambingTrouble, NextDay, Prolapse
from template_builder.layout.illnesses import EWES as ILLNESSES
from template_builder.layout.setting_on import BAD_TEATS, BAD_UDDER, LOST_INTEREST
from template_builder.layout.sides import A_SIDE_DRY, BOTH_IN_MILK
from template_builder.live.cases import case_key, fell_ill, illness_of
from template_builder.live.columns import LiveColumn, LiveSheet, place
from template_builder.live.ewe_alerts import BAD_IN_A_WORD, PROLAPSED, SINCE, TOO_THIN, alerts_in_order, raised_id
from template_builder.live.ewe_facts import CHECKS, FOR_MASTITIS, KNOWN, LAMBS, NO_COLOSTRUM, READ, count_of, if_ewe
from template_builder.live.formulas import DAY, EWE, FIRST, LATER, MINUTES, key_minute, latest, packed
from template_builder.live.lamb_block import MOST_LAMBS, SET_ON_DAYS
from template_builder.live.row_links import any_of

_OPEN_LATE = f"IF({{trouble_look}}>0,{key_minute('{trouble_look}')}>={{seen_at}},FALSE)"
_ILL_NEXT_DAY = (f"AND({{next_day}}={place(NextDay.TROUBLE)},OR({{look}}=0,NOT(ISNUMBER({{lambed_on}})),"
                 f"{{seen_at}}-{MINUTES}<=INT(N({{lambed_on}}))*{MINUTES}))")

# Ewes never offered another ewe's lamb, reason by reason.
_NOT_FOR_SETTING_ON = (
    "{gone}=1", "{certain}=1", "{suspected}=1", A_SIDE_DRY.formula("{last_sides}"), "{mastitis_look}>0",
    f"{packed('{given}', FOR_MASTITIS)}>0", any_of("{last_udder}", BAD_UDDER), any_of("{last_teats}", BAD_TEATS),
    f"{count_of(4)}>0", f"{packed('{reared}', 5)}>0", f"{packed('{reared}', 4)}>0",
    f"IF(ISNUMBER({{mothering}}),{{mothering}}<={LOST_INTEREST},FALSE)", f"{count_of(5)}>0",
    NO_COLOSTRUM, f"AND({PROLAPSED})", "{prolapse_look}>0", "{told_prolapse}=1", "{told_refused}=1", BAD_IN_A_WORD,
    _OPEN_LATE, _ILL_NEXT_DAY,
    TOO_THIN, f"{{last_feet}}={place(Feet.BADLY_LAME)}",
    "IF({treated}=0,FALSE,SUMIF(live_treatments_ewe,{k},live_treatments_still)>0)",
)
_ALERT_CELLS = f"{{{raised_id(ALERTS[0])}}}:{{{raised_id(ALERTS[-1])}}}"

RANKED = (
    LiveColumn("worst", f"IF(SUM({_ALERT_CELLS})=0,0,SMALL({_ALERT_CELLS},COUNTIF({_ALERT_CELLS},0)+1))"),
    # An error anywhere in her row gives the smallest key of all: she stands on top of Tonight.
    LiveColumn("key", f'IFERROR(IF({{first}}=0,"",IF({{bad}}>0,{{k}},IF(OR({{worst}}=0,{{worst}}>={LATER}),"",'
                      f"{{worst}}*{FIRST}+{{k}}))),{{k}})"),
    LiveColumn("room", f"IF({BOTH_IN_MILK.formula('{last_sides}')},{MOST_LAMBS}-{{at_side}},0)"),
    LiveColumn("barred", if_ewe(f"IF(OR({','.join(_NOT_FOR_SETTING_ON)}),1,0)", "0")),
    LiveColumn("room_key", 'IFERROR(IF(AND({first}=1,{gone}=0,{lambed}=1,{aborted}=0,{bad}=0,{room}>0,ISNUMBER({lambed_at}),'
                           f"{{since_lambed}}>=0,{{since_lambed}}<={SET_ON_DAYS * MINUTES},{{barred}}=0),"
                           f'{{at_side}}*{FIRST**2 * 10}+{{since_lambed}}*{FIRST}+{{k}},""),"")'),
    LiveColumn("until", if_ewe(f"MAX(IF({{treated}}=0,0,MAX(0,INT(({latest('live_treatments_until_key')}-{{k}}*{EWE})/{DAY}))),"
                                "IF({group}=0,0,MAX(0,INDEX(live_groups_until,{group}))),live_all_ewes_until)", "0")),
    LiveColumn("until_unknown", if_ewe(f"IF(OR({{{raised_id(alerts.WITHDRAWAL_UNKNOWN)}}}>0,"
                                        "IF({group}=0,0,INDEX(live_groups_unknown,{group}))>0,live_all_ewes_unknown>0),1,0)",
                                        "0")),
    LiveColumn("lambed_day", 'IF(AND({lambed}=1,ISNUMBER({lambed_on})),INT({lambed_on}),"")'),
    LiveColumn("size", if_ewe('IF(ISNUMBER({scanned}),MIN({scanned},4),-1)', "-2")),
    # A prolapse at lambing, of its kind or told in a word.
    LiveColumn("case", case_key(f"IF({{told_prolapse}}=1,{illness_of('{trouble}', LambingTrouble, ILLNESSES)},"
                                f"{illness_of('{prolapse}', Prolapse, ILLNESSES)})", "IF({at}>0,{k},0)", "{lambed_on}")),
    fell_ill("ewes"),
)

EWES = LiveSheet("ewes", (*READ, *LAMBS, *CHECKS, *KNOWN, *SINCE, *alerts_in_order(), *RANKED), rows_of="ewes")
