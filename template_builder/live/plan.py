"""Plan: feeding groups, what falls due week by week, and every ewe in lamb, those to see to first."""

from template_builder.files.look import BODY, COUNT, DATE, STRONG
from template_builder.files.tab import linked
from template_builder.layout.choices import FeedAs
from template_builder.layout.whole import PLAN_TAB
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds
from template_builder.live.plan_ahead import FORESEEN
from template_builder.live.plan_block import BY_GROUP, FAT, GROUPS_SHOWN, ROW, SAME_NIGHTS, THIN_BIG, TO_DO
from template_builder.live.plan_ready import READY
from template_builder.plan.calendar import TASKS
from template_builder.plan.groups import EARLY, LATE, WORDS, Litter

FEEDING_TOP = 7  # the first rows of the lists, one below another
CALENDAR_TOP = FEEDING_TOP + GROUPS_SHOWN + 2
READY_TOP = CALENDAR_TOP + TO_DO.rows + 2
AHEAD_TOP = READY_TOP + READY.rows + 3
LIST_TOP = AHEAD_TOP + FORESEEN.rows + 2
NOT_DATED = "Write Due on Ewes: days are counted back from it."
_CENTRED = BODY.with_(align="center")
_SCORE = _CENTRED.with_(number_format="0.0#")


def _titled() -> str:
    def within(litter: Litter) -> str:
        at = f"INDEX(live_litters_at,{litter})"
        return f"AND(INDEX(live_litters_ewes,{litter})>0,{at}<={{k}},{{k}}<={at}+INDEX(live_litters_parted,{litter}))"

    named = {**{Litter(number): words for number, words in WORDS.items()}, Litter.APART: FeedAs.APART.label}
    words = "&".join(f'IF({within(litter)},", {text}","")' for litter, text in named.items())
    half = (f'IF({{opener}}=0,", {LATE}",IF(INDEX(live_litters_parted,{{opener}})=1,", {EARLY}",""))')
    return f'IF({{ewes}}=0,"",MID({words},3,99)&{half})'


_BELOW, _UP_TO = (f'COUNTIF(live_plan_due_key,"<"&({{k}}+{more})*{BY_GROUP})' for more in (0, 1))

FEEDING = LiveSheet("feeding", (
    LiveColumn("opener", "IFERROR(MATCH({k},live_litters_opener,0),0)"),
    LiveColumn("ewes_in", "COUNTIF(live_plan_group,{k}+0)"),
    LiveColumn("title", _titled().replace("{ewes}", "{ewes_in}"), "Feeding group", width=31, style=STRONG),
    LiveColumn("ewes", 'IF({ewes_in}=0,"",{ewes_in})', "Ewes", width=9, style=COUNT),
    LiveColumn("lambs", 'IF({ewes_in}=0,"",SUMIF(live_plan_group,{k}+0,live_plan_scanned))', "Lambs scanned",
               width=12, style=COUNT),
    LiveColumn("first", f'IF({_BELOW}={_UP_TO},"",SMALL(live_plan_due_key,{_BELOW}+1)-{{k}}*{BY_GROUP})', "First due",
               width=13, style=DATE),
    LiveColumn("last", f'IF({{first}}="","",SMALL(live_plan_due_key,{_UP_TO})-{{k}}*{BY_GROUP})', "Last due",
               width=45, style=DATE),
    LiveColumn("thin", 'IF({ewes_in}=0,"",COUNTIFS(live_plan_group,{k}+0,live_plan_thin,1))', "of them thin",
               width=24, style=COUNT),
    LiveColumn("undated", f'IF({{ewes_in}}=0,"",{{ewes_in}}-({_UP_TO}-{_BELOW}))', "of them without due day",
               width=14, style=COUNT),
), rows=GROUPS_SHOWN)


def _listed(then: str) -> str:
    return f'IF({{key}}="","",{then})'


def _what() -> str:
    *others, last = TASKS.values()
    return first_that_holds(
        ((f"INDEX(live_todo_task,{{at}})={number}", f'"{words}"') for number, words in enumerate(others, start=1)), f'"{last}"')


CALENDAR = LiveSheet("calendar", (
    LiveColumn("key", 'IF({k}>COUNT(live_todo_key),"",SMALL(live_todo_key,{k}))'),
    LiveColumn("at", _listed("{key}-INT({key}/100)*100")),
    LiveColumn("group", _listed(f'HYPERLINK("#{PLAN_TAB}!D"&(INDEX(live_todo_first_ewe,{{at}})+{LIST_TOP - 1}),'
                                "INDEX(live_feeding_title,INDEX(live_todo_group,{at})))"), "Feeding group",
               width=31, style=linked(STRONG)),
    LiveColumn("ewes", _listed("INDEX(live_feeding_ewes,INDEX(live_todo_group,{at}))"), "Ewes", width=9, style=COUNT),
    LiveColumn("week", _listed("INT((INT({key}/100)-2)/7)*7+2"), "Week of", width=12, style=DATE),
    LiveColumn("on", _listed("INT({key}/100)"), "Due on", width=13, style=DATE),
    LiveColumn("what", f'IF({{key}}="",IF(AND({{k}}=1,live_planned_ewes>0),"{NOT_DATED}",""),{_what()})',
               "What falls due", width=45),
), rows=TO_DO.rows)

_WHY = (f'IF(INDEX(live_plan_rank,{{at}})<{FAT},IF(INDEX(live_plan_rank,{{at}})={THIN_BIG},"; thin with "&'
        f'INDEX(live_plan_scanned,{{at}})&" lambs","; thin"),IF(INDEX(live_plan_fat,{{at}})=1,"; fat with a single",""))')
_FIRST_TIME = ('IF(ISNUMBER(INDEX(ewes_lambings_before,{at})),IF(INDEX(ewes_lambings_before,{at})=0,"; first lambing",""),"")')
_NEAR = "INDEX(live_plan_near,{at})"

PLANNED = LiveSheet("planned", (
    LiveColumn("key", 'IF({k}>live_planned_ewes,"",SMALL(live_plan_key,{k}))'),
    LiveColumn("at", _listed(f"{{key}}-INT({{key}}/{ROW})*{ROW}")),
    LiveColumn("group", _listed("INDEX(live_feeding_title,INDEX(live_plan_group,{at}))"), "Feeding group", width=31),
    LiveColumn("ewe", _listed("INDEX(live_ewes_name,{at})"), "Ewe", width=9, style=STRONG),
    LiveColumn("scanned", _listed("INDEX(live_plan_scanned,{at})"), "Scanned", width=12, style=_CENTRED),
    LiveColumn("due", _listed("INDEX(live_plan_dated,{at})"), "Due", width=13, style=DATE),
    LiveColumn("why", _listed(f"MID({_WHY}&{_FIRST_TIME},3,99)"), "To see to", width=45),
    LiveColumn("warning", _listed("INDEX(live_ahead_warning,{at})"), "Last year's warning", width=24, style=BODY),
    LiveColumn("condition", _listed("INDEX(live_plan_condition,{at})"), "Condition, last look", width=14, style=_SCORE),
    LiveColumn("mark", _listed('TRIM(INDEX(ewes_mark,{at})&"")'), "Mark", width=10, style=_CENTRED),
    LiveColumn("singles", _listed(
        f'IF(OR(INDEX(live_plan_scanned,{{at}})<3,{_NEAR}=""),"",COUNTIF(live_plan_single_due,"<"&{_NEAR}+{SAME_NIGHTS + 1})'
        f'-COUNTIF(live_plan_single_due,"<"&{_NEAR}-{SAME_NIGHTS}))'), "Singles due the same nights", width=12, style=COUNT),
), rows_of="ewes")

PLAN_HEAD = LiveCell("plan_head", (
    'IF(live_planned_ewes=0,IF(live_tallied=0,"No ewe on Ewes is scanned in lamb.",live_tallied&'
    '" ewes scanned in lamb, known by the tallies of their groups."),live_planned_ewes&" ewes in lamb, in "&'
    '(SUM(live_litters_opens)+SUM(live_litters_parted))&" feeding groups; Season says how many the farm can keep ("&'
    'live_plan_most&")."&IF(live_tallied=0,""," Besides these, "&live_tallied&" in groups known by their tallies."))'
))
PLAN_TO_SEE_TO = LiveCell("plan_to_see_to", (
    'IF(live_planned_ewes=0,"",COUNTIF(live_plan_thin,1)&" thin, "&COUNTIF(live_plan_fat,1)&" fat with a single, "&'
    'COUNTIF(live_plan_scanned,">2")&" with three lambs or more."&'
    'IF(COUNT(live_plan_near)<2,"",IF(SMALL(live_plan_near,1)=LARGE(live_plan_near,1),'
    '" All have one due day: counted from the ram\'s first day, it is when lambing begins.","")))'
))
