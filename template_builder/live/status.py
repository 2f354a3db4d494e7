"""Ewe status: where each ewe stands now, in the order of Ewes."""

from template_builder.files.look import BODY, DATE, MOMENT, STRONG
from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS
from template_builder.live.columns import LiveColumn, LiveSheet
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.ewe_block import EWES
from template_builder.live.formulas import NO_MINUTE

UNREAD = alerts.UNREADABLE.title
NOT_KNOWN = "not known"
NO_LONGER_HERE = "no longer here"
_CENTRED = BODY.with_(align="center")
_HOURS = BODY.with_(number_format="0.0", align="center")


def _status(then: str, wrong: str = "?") -> str:
    return f'IF({{ewe}}="","",IFERROR({then},"{wrong}"))'


def _of(column: str) -> str:
    return EWES.beside(column)


_ALERTS = EWES.beside(raised_id(ALERTS[0])) + ":" + EWES.beside(raised_id(ALERTS[-1])).partition("!")[2]
_STATE = (
    f'IF({_of("first")}=0,"written twice",IF({_of("bad")}=1,"{UNREAD}",'
    f'IF({_of("gone")}=1,"{NO_LONGER_HERE}",IF({_of("lambed")}=1,"lambed",'
    f'IF({_of("aborted")}=1,"aborted",IF({_of(raised_id(alerts.OVERDUE))}>0,"overdue",'
    f'IF(AND(ISNUMBER({_of("scanned")}),N({_of("scanned")})=0),"scanned empty","to lamb")))))))'
)
_LABOUR = int(alerts.LABOUR_LAPSES.total_seconds()) // 60
_LOOK = int(alerts.NEXT_LOOK_LAPSES.total_seconds()) // 60
_LAMBED, _HENCE = _of("lambed_at"), f'{_of("lambed_at")}+live_next_look/24'
_LOOK_DUE = f"IF({_LAMBED}=INT({_LAMBED}),INT({_HENCE}),{_HENCE})"  # its day alone where the hour she lambed is not written

EWE_STATUS = LiveSheet("status", (
    LiveColumn("ewe", 'IFERROR(' + EWES.beside("name") + ',"row "&({k}+3)&" of Ewes")', "Ewe", width=12, style=STRONG),
    LiveColumn("pen", _status(f'IF({_of("at")}=0,"",TRIM(INDEX(lambing_pen,{_of("at")})&""))'), "Pen", width=8, style=_CENTRED),
    LiveColumn("state", _status(_STATE, UNREAD), "State", width=14),
    LiveColumn("to_due", _status(f'IF(AND({{state}}="to lamb",ISNUMBER({_of("due")})),'
                                 f'MAX(0,INT({_of("due")})-INT(live_now)),"")'),
               "Days to due", width=8, style=_CENTRED),
    LiveColumn("over", _status(f'IF({{state}}="overdue",INT(live_now)-{_of("last_day")},"")'),
               "Days past her last day", width=10, style=_CENTRED),
    LiveColumn("scanned", _status(_of("scanned")), "Scanned", width=9, style=_CENTRED),
    LiveColumn("lambs", _status(f'IF({_of("lambs")}=0,"",{_of("lambs")})'), "Lambs written", width=9, style=_CENTRED),
    LiveColumn("unlike", _status(f'IF(AND({_of("lambed")}=1,ISNUMBER({_of("scanned")}),{_of("lambs")}>0),'
                                 f'{_of("lambs")}-{_of("scanned")},"")'),
               "More or fewer than scanned", width=12, style=_CENTRED.with_(number_format="+0;-0;0")),
    LiveColumn("labour", _status(f'IF(AND({_of("watched")}=1,{_of("lambed")}=0,{_of("aborted")}=0,'
                                 f'{_of("waters_minute")}<{NO_MINUTE},'
                                 f'{_of("since_waters")}>=0,{_of("since_waters")}<={_LABOUR}),{_of("since_waters")}/60,"")'),
               "Hours since waters, not lambed", width=11, style=_HOURS),
    LiveColumn("next_look", _status(f'IF(AND({_of("watched")}=1,ISNUMBER({_of("lambed_at")}),{_of("alive_here")}>0,'
                                    f'{_of("looked")}=0,{_of("since_lambed")}<={_LOOK}),{_LOOK_DUE},"")'),
               "Next look due", width=17, style=MOMENT),
    LiveColumn("until", _status(f'IF({_of("until_unknown")}=1,"{NOT_KNOWN}",'
                                f'IF({_of("until")}>=INT(live_now),{_of("until")},""))'),
               "Withdrawals written here end on", width=14, style=DATE),
    LiveColumn("see_to", _status(
        f'IF({_of("bad")}=1,"{UNREAD}",IF({_of("worst")}=0,"",INDEX(live_alerts_title,'
        f'MATCH({_of("worst")},{_ALERTS},0))))', UNREAD), "To look at, most urgent", width=26),
), rows_of="ewes")
