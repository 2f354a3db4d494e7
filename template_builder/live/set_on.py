"""Set on: ewes with milk and room tonight beside the lambs that could go on to them."""

from template_builder.files.look import BODY, MOMENT, STRONG
from template_builder.live.columns import LiveColumn, LiveSheet
from template_builder.live.formulas import FIRST, MINUTES, NO_MINUTE
from template_builder.live.lamb_block import SPARE_WHY

SHOWN = 25  # so many of each
_CENTRED = BODY.with_(align="center")
_HOURS = BODY.with_(number_format="0", align="center")
_AS_TYPED = BODY.with_(number_format="0.0", align="center")  # in the unit of Lambs, which its heading names


def _ranked(keys: str) -> tuple[LiveColumn, LiveColumn]:
    return (
        LiveColumn("key", f'IF({{k}}>COUNT({keys}),"",SMALL({keys},{{k}}))'),
        LiveColumn("at", f'IF({{key}}="","",MATCH({{key}},{keys},0))'),
    )


def _listed(then: str) -> str:
    return f'IF({{key}}="","",{then})'


def _if_hour(minute: str, then: str) -> str:
    """Hours are not counted from a day whose hour nobody wrote: that is, from midnight."""
    return f'IF({minute}=INT({minute}/{MINUTES})*{MINUTES},"",{then})'


ROOM = LiveSheet("room", (
    *_ranked("live_ewes_room_key"),
    LiveColumn("ewe", _listed("INDEX(live_ewes_name,{at})"), "Ewe", width=12, style=STRONG),
    LiveColumn("pen", _listed('TRIM(INDEX(lambing_pen,INDEX(live_ewes_at,{at}))&"")'), "Pen", width=8, style=_CENTRED),
    LiveColumn("at_side", _listed("INDEX(live_ewes_at_side,{at})"), "Lambs at her side", width=10, style=_CENTRED),
    LiveColumn("room", _listed("INDEX(live_ewes_room,{at})"), "Room for", width=8, style=_CENTRED),
    LiveColumn("lambed", _listed("INDEX(live_ewes_lambed_at,{at})"), "Lambed", width=18, style=MOMENT),
    LiveColumn("hours", _listed(_if_hour("INDEX(live_ewes_lambed_minute,{at})", "INDEX(live_ewes_since_lambed,{at})/60")),
               "Hours ago", width=9, style=_HOURS),
), rows=SHOWN)

_NAME = (
    'IF(OR(INDEX(live_lambs_name,{at})="",NOT(ISNUMBER(INDEX(lambs_lamb_no,{at})))),'
    'IF(TRIM(INDEX(lambs_tag,{at})&"")="","row "&({at}+3)&" of Lambs",TRIM(INDEX(lambs_tag,{at})&"")),'
    'INDEX(live_lambs_name,{at})&"-"&INDEX(lambs_lamb_no,{at}))'
)
_AGE = f"INT({{key}}/{FIRST})"
_BORN = f"(live_minute-{_AGE})"
_PET, _NO_EWE, _GONE, _BIG = (f'"{why}"' for why in SPARE_WHY)
_WHY = f"IF({{spare}}=1,{_PET},IF({{spare}}=2,{_NO_EWE},IF({{spare}}=3,{_GONE},{_BIG})))"

SPARE = LiveSheet("spare", (
    *_ranked("live_lambs_spare_key"),
    LiveColumn("spare", _listed("INDEX(live_lambs_spare,{at})")),
    LiveColumn("lamb", _listed(_NAME), "Lamb", width=14, style=STRONG),
    LiveColumn("why", _listed(_WHY), "Why it is spare", width=20),
    LiveColumn("born", _listed(f'IF({_AGE}={NO_MINUTE},"",{_BORN}/{MINUTES})'), "Born", width=18, style=MOMENT),
    LiveColumn("hours", _listed(f'IF({_AGE}={NO_MINUTE},"",{_if_hour(_BORN, f"{_AGE}/60")})'), "Age, hours",
               width=8, style=_HOURS),
    LiveColumn("kg", _listed('IFERROR(IF(INDEX(live_lambs_kg,{at})="?","",INDEX(live_lambs_kg,{at})),"?")'), "Birth weight",
               width=9, style=_AS_TYPED),
    LiveColumn("sex", _listed('IF(TRIM(INDEX(lambs_sex,{at})&"")="?","",TRIM(INDEX(lambs_sex,{at})&""))'), "Sex",
               width=8, style=_CENTRED),
), rows=SHOWN, first_column=len(ROOM.columns) + 3)

