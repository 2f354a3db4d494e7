"""Tonight: what concerns the whole flock, then the ewes that need a look, each in one cell that a phone shows whole."""

from template_builder.files.look import BODY, SIZE_BODY
from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS, URGENCIES
from template_builder.layout.sides import BOTH_SIDES
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet
from template_builder.live.ewe_alerts import raised_id
from template_builder.live.formulas import FIRST, LATER, NO_MINUTE, SINCE, moment_words

FLOCK = "Flock"
LISTED = 34  # more are done in no night; what is left is counted above
TOLD_CHARACTERS = 93  # of what is seen, since when and the first step: what is seen is cut short where they are more
SIZE_TOLD = 9
WHOM_LONGEST, WHOM_END = 9, 6  # a number longer than so many characters stands in the list by its end
TOLD = "What is seen, since when, and the usual first step"
_NAME = BODY.with_(size=SIZE_BODY, bold=True, wrap=True, valign="top", align="left")
_WHEN = BODY.with_(size=SIZE_TOLD, wrap=True, valign="top", align="center")
_TOLD = BODY.with_(size=SIZE_TOLD, wrap=True, valign="top", align="left")
_NAMED = "INDEX(live_ewes_name,{at})"
_END = f"RIGHT({_NAMED},{WHOM_END})"
_IN_FIGURES = ",".join(  # a name that is words is not cut
    f'MID({_END},{place},1){sign}' for place in (1, WHOM_END) for sign in ('>="0"', '<="9"'))
_CALLED = f'IF(AND(LEN({_NAMED})>{WHOM_LONGEST},{_IN_FIGURES}),{_END},{_NAMED})'
_ROW_OF_EWES = '"row "&({at}+3)&" of Ewes"'

# What a joined line adds in brackets to the title of an alert.
DETAILS = {
    alerts.MISSING_LAMB.id: 'INDEX(live_ewes_lambs,{at})&" of "&INDEX(live_ewes_scanned,{at})',
    alerts.MORE_LAMBS.id: 'INDEX(live_ewes_lambs,{at})&" for "&INDEX(live_ewes_scanned,{at})',
    alerts.SIDE_DRY.id: f'INDEX(live_ewes_last_sides,{{at}})&" of {BOTH_SIDES} in milk"',
    alerts.OVERDUE.id: '"days past her last day: "&INT(live_now)-INDEX(live_ewes_last_day,{at})',
}


def _title(alert: alerts.Alert, at: str) -> str:
    words = f'"; {alert.title}"'
    if alert.id in DETAILS:
        words += f'&" ("&{DETAILS[alert.id].format(at=at)}&")"'
    found = f"INDEX(live_ewes_{raised_id(alert)},{at})"
    return f'IF(AND({found}>0,{found}<{LATER}),{words},"")'


def what_is_seen(at: str) -> str:
    """The alerts of the ewe in this row of the hidden block, joined."""
    return "MID(" + "&".join(_title(alert, at) for alert in ALERTS) + ",3,250)"


def _listed(then: str, unread: str) -> str:
    """Blank beyond the end of the list; its own words for a ewe whose row cannot be read."""
    return f'IF({{key}}="","",IF({{key}}<{FIRST},{unread},{then}))'


def _alarm(column: str, otherwise: str) -> str:
    return f"IF({{alarm}}>0,INDEX(live_alarms_{column},{{alarm}}),{otherwise})"


def _alert(column: str) -> str:
    return f'INDEX(live_alerts_{column},{{kind}})&""'


_BESIDE_IT = "LEN({since})-LEN({step})"
_SEEN = (f"IF(LEN({{seen}})>{TOLD_CHARACTERS}-{_BESIDE_IT},MID({{seen}},1,{TOLD_CHARACTERS}-3-{_BESIDE_IT})&\"...\",{{seen}})")
_MINUTE = f"INDEX(live_ewes_worst,{{at}})-INT(INDEX(live_ewes_worst,{{at}})/{SINCE})*{SINCE}"

TONIGHT = LiveSheet("tonight", (
    LiveColumn("whom", f'IF({{alarm}}>0,"{FLOCK}",IF({{pen}}="",{{ewe}},{{ewe}}&" pen "&{{pen}}))', "Ewe",
               width=5.6, style=_NAME),
    LiveColumn("urgency", _alarm("urgency", _listed(_alert("urgency"), f'"{URGENCIES[alerts.UNREAD]}"')), "Look",
               width=4.0, style=_WHEN),
    LiveColumn("told", _alarm("told", 'IF({key}="","",' + _SEEN
                              + '&IF({since}="",""," since "&{since})&". "&{step})'), TOLD, width=36.2, style=_TOLD),
    # The flock's alarms take the first rows, so that where there is none they take no room.
    LiveColumn("alarm", "IF({k}>live_how_many_alarms,0,SMALL(live_alarms_rank,{k}))"),
    LiveColumn("key", 'IF(OR({alarm}>0,{k}-live_how_many_alarms>COUNT(live_ewes_key)),"",'
                      'SMALL(live_ewes_key,{k}-live_how_many_alarms))'),
    LiveColumn("at", 'IF({key}="","",MATCH({key},live_ewes_key,0))'),
    LiveColumn("kind", _listed("MATCH(INDEX(live_ewes_worst,{at}),INDEX(live_ewes_alerts,{at},0),0)", "0")),
    LiveColumn("ewe", f'IF({{key}}="","",IFERROR({_CALLED},{_ROW_OF_EWES}))'),
    LiveColumn("pen", _listed('IF(INDEX(live_ewes_at,{at})=0,"",TRIM(INDEX(lambing_pen,INDEX(live_ewes_at,{at}))&""))', '""')),
    LiveColumn("seen", _listed(what_is_seen("{at}"), f'"{alerts.UNREADABLE.title}"')),
    LiveColumn("minute", _listed(f'IF({_MINUTE}={NO_MINUTE},"",{_MINUTE})', '""')),
    LiveColumn("since", 'IF({minute}="","",' + moment_words("{minute}") + ")"),
    LiveColumn("step", _listed(_alert("step"), f'"{alerts.UNREADABLE.first_step}"')),
), rows=LISTED, helpers_last=True)

TO_LOOK_AT = LiveCell("to_look_at", "COUNT(live_ewes_key)")
LEFT_FOR_LATER = LiveCell("left_for_later", f'COUNTIF(live_ewes_worst,">={LATER}")')
TONIGHT_HEAD = LiveCell("tonight_head", (
    f'IF(live_to_look_at=0,"Nothing to look at now.",live_to_look_at&IF(live_to_look_at=1," ewe"," ewes")&" to look at"&'
    f'IF(live_to_look_at+live_how_many_alarms>{LISTED},", the first "&({LISTED}-live_how_many_alarms)&" are listed.","."))'
))
# What the list leaves out, said under it only where there is any.
NOT_LISTED = LiveCell("not_listed", (
    'TRIM(IF(live_left_for_later=0,""," "&live_left_for_later&" left for the end of the season: see Ewe status.")'
    '&IF(live_lost=0,""," "&live_lost&IF(live_lost=1," row names"," rows name")&" no ewe on Ewes: see Progress.")'
    '&IF(live_below=0,""," "&live_below&IF(live_below=1," row is"," rows are")&" written below the rows laid ready, '
    'where these lists do not look: see Progress."))'
))
