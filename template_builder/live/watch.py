"""The Watch list and Ewe status: what the shepherd reads at night, taken from the hidden blocks by row number."""

from template_builder.files.look import BODY, DATE, MOMENT, MOMENT_FORMAT, SIZE_SECTION, STRONG
from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS, URGENCIES
from template_builder.layout.sides import BOTH_SIDES
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet
from template_builder.live.ewe_block import EWES, raised_id
from template_builder.live.formulas import FIRST, LATER, MINUTES, NO_MINUTE, SINCE

LISTED = 34  # as many as one printed page takes in type that is read without glasses
STEP_WIDTH = 74.0  # characters: the longest first step on one line
UNREAD = "cannot be read"
NOT_KNOWN = "not known"
_CENTRED = BODY.with_(align="center")
LINE = BODY.with_(size=SIZE_SECTION)  # read at night
_MIDDLE, _NAME = LINE.with_(align="center"), LINE.with_(bold=True)
_HOURS = BODY.with_(number_format="0.0", align="center")
_ROW_OF_EWES = '"row "&({at}+3)&" of Ewes"'

# What a joined line adds in brackets to the title of an alert.
DETAILS = {
    alerts.MISSING_LAMB.id: 'INDEX(live_ewes_lambs,{at})&" of "&INDEX(live_ewes_scanned,{at})',
    alerts.MORE_LAMBS.id: 'INDEX(live_ewes_lambs,{at})&" for "&INDEX(live_ewes_scanned,{at})',
    alerts.SIDE_DRY.id: f'INDEX(live_ewes_last_sides,{{at}})&" of {BOTH_SIDES} in milk"',
    alerts.OVERDUE.id: '"days past her last day: "&INT(live_now)-INDEX(live_ewes_last_day,{at})',
}


def _title(alert: alerts.Alert) -> str:
    words = f'"; {alert.title}"'
    if alert.id in DETAILS:
        words += f'&" ("&{DETAILS[alert.id]}&")"'
    found = f"INDEX(live_ewes_{raised_id(alert)},{{at}})"
    return f'IF(AND({found}>0,{found}<{LATER}),{words},"")'


def _listed(then: str, unread: str) -> str:
    """Blank beyond the end of the list; its own words for a ewe whose row cannot be read."""
    return f'IF({{key}}="","",IF({{key}}<{FIRST},{unread},{then}))'


def _alert(column: str) -> str:
    return f'INDEX(live_alerts_{column},{{kind}})&""'


_MINUTE = f"INDEX(live_ewes_worst,{{at}})-INT(INDEX(live_ewes_worst,{{at}})/{SINCE})*{SINCE}"

WATCH = LiveSheet("watch", (
    LiveColumn("key", 'IF({k}>COUNT(live_ewes_key),"",SMALL(live_ewes_key,{k}))'),
    LiveColumn("at", 'IF({key}="","",MATCH({key},live_ewes_key,0))'),
    LiveColumn("kind", _listed("MATCH(INDEX(live_ewes_worst,{at}),INDEX(live_ewes_alerts,{at},0),0)", "0")),
    LiveColumn("ewe", f'IF({{key}}="","",IFERROR(INDEX(live_ewes_name,{{at}}),{_ROW_OF_EWES}))', "Ewe", 11, _NAME),
    LiveColumn("pen", _listed('IF(INDEX(live_ewes_at,{at})=0,"",TRIM(INDEX(lambing_pen,INDEX(live_ewes_at,{at}))&""))', '""'),
               "Pen", 7, _MIDDLE),
    LiveColumn("urgency", _listed(_alert("urgency"), f'"{URGENCIES[alerts.UNREAD]}"'), "When to look", 16, _MIDDLE),
    LiveColumn("seen", _listed("MID(" + "&".join(_title(alert) for alert in ALERTS) + ",3,250)", f'"{alerts.UNREADABLE.title}"'),
               "What is seen", 47, LINE),
    LiveColumn("since", _listed(f'IF({_MINUTE}={NO_MINUTE},"",({_MINUTE})/{MINUTES})', '""'), "Since (00:00: no hour written)",
               19, _MIDDLE.with_(number_format=MOMENT_FORMAT)),
    LiveColumn("step", _listed(_alert("step"), f'"{alerts.UNREADABLE.first_step}"'), "What is usually done first",
               STEP_WIDTH, LINE),
    LiveColumn("vet", _listed(_alert("vet"), '""'), "Vet", 14, _MIDDLE),
), rows=LISTED)

TO_LOOK_AT = LiveCell("to_look_at", "COUNT(live_ewes_key)")
LEFT_FOR_LATER = LiveCell("left_for_later", f'COUNTIF(live_ewes_worst,">={LATER}")')
WATCH_HEAD = LiveCell("watch_head", (
    f'IF(live_to_look_at=0,"Nothing to look at now.",live_to_look_at&IF(live_to_look_at=1," ewe"," ewes")&" to look at"&'
    f'IF(live_to_look_at>{LISTED},", the first {LISTED} are listed.","."))'
    '&IF(live_left_for_later=0,""," "&live_left_for_later&" left for the end of the season: see Ewe status.")'
    '&IF(live_lost=0,""," "&live_lost&IF(live_lost=1," row names"," rows name")&" no ewe on Ewes: see Progress.")'
    '&IF(live_below=0,""," "&live_below&IF(live_below=1," row is"," rows are")&" written below the rows laid ready, '
    'where these lists do not look: see Progress.")'
))


def _status(then: str, wrong: str = "?") -> str:
    return f'IF({{ewe}}="","",IFERROR({then},"{wrong}"))'


def _of(column: str) -> str:
    return EWES.beside(column)


_ALERTS = EWES.beside(raised_id(ALERTS[0])) + ":" + EWES.beside(raised_id(ALERTS[-1])).partition("!")[2]
_STATE = (
    f'IF({_of("first")}=0,"written twice",IF({_of("bad")}=1,"{UNREAD}",IF({_of("gone")}=1,"left",IF({_of("lambed")}=1,"lambed",'
    f'IF({_of("aborted")}=1,"aborted",IF({_of(raised_id(alerts.OVERDUE))}>0,"overdue",'
    f'IF(AND(ISNUMBER({_of("scanned")}),N({_of("scanned")})=0),"scanned empty","to lamb")))))))'
)
_LABOUR = int(alerts.LABOUR_LAPSES.total_seconds()) // 60
_LOOK = int(alerts.NEXT_LOOK_LAPSES.total_seconds()) // 60

EWE_STATUS = LiveSheet("status", (
    LiveColumn("ewe", 'IFERROR(' + EWES.beside("name") + ',"row "&({k}+3)&" of Ewes")', "Ewe", 12, STRONG),
    LiveColumn("pen", _status(f'IF({_of("at")}=0,"",TRIM(INDEX(lambing_pen,{_of("at")})&""))'), "Pen", 8, _CENTRED),
    LiveColumn("state", _status(_STATE, UNREAD), "State", 14),
    LiveColumn("to_due", _status(f'IF(AND({{state}}="to lamb",ISNUMBER({_of("due")})),'
                                 f'MAX(0,INT({_of("due")})-INT(live_now)),"")'),
               "Days to due", 8, _CENTRED),
    LiveColumn("over", _status(f'IF({{state}}="overdue",INT(live_now)-{_of("last_day")},"")'), "Days overdue", 9, _CENTRED),
    LiveColumn("scanned", _status(_of("scanned")), "Scanned", 9, _CENTRED),
    LiveColumn("lambs", _status(f'IF({_of("lambs")}=0,"",{_of("lambs")})'), "Lambs written", 9, _CENTRED),
    LiveColumn("unlike", _status(f'IF(AND({_of("lambed")}=1,ISNUMBER({_of("scanned")}),{_of("lambs")}>0),'
                                 f'{_of("lambs")}-{_of("scanned")},"")'),
               "More or fewer than scanned", 12, _CENTRED.with_(number_format="+0;-0;0")),
    LiveColumn("labour", _status(f'IF(AND({_of("watched")}=1,{_of("lambed")}=0,{_of("aborted")}=0,ISNUMBER({_of("waters_at")}),'
                                 f'{_of("since_waters")}>=0,{_of("since_waters")}<={_LABOUR}),{_of("since_waters")}/60,"")'),
               "Hours since waters, not lambed", 11, _HOURS),
    LiveColumn("next_look", _status(f'IF(AND({_of("watched")}=1,ISNUMBER({_of("lambed_at")}),{_of("alive_here")}>0,'
                                    f'{_of("looked")}=0,{_of("since_lambed")}<={_LOOK}),{_of("lambed_at")}+live_next_look/24,"")'),
               "Next look due", 17, MOMENT),
    LiveColumn("until", _status(f'IF({_of("until_unknown")}=1,"{NOT_KNOWN}",'
                                f'IF({_of("until")}>=INT(live_now),{_of("until")},""))'),
               "Withdrawals written here end on", 14, DATE),
    LiveColumn("see_to", _status(
        f'IF({_of("bad")}=1,"{alerts.UNREADABLE.title}",IF({_of("worst")}=0,"",INDEX(live_alerts_title,'
        f'MATCH({_of("worst")},{_ALERTS},0))))', UNREAD), "To see to, most urgent", 26),
), rows_of="ewes")
