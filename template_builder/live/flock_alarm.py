"""The flock's alarms on Tonight: abortions, an illness of several, many empty. The vet is asked about all, not about one.

They are the rules A101 to A103 of the check. What has passed is no longer tonight's: an illness of which no animal fell ill
lately, empty ewes that are all gone.
"""

from template_builder.layout.alerts import ABORTIONS_CLOSE, NOW, SOON, URGENCIES
from template_builder.layout.illnesses import ILLNESSES
from template_builder.layout.policy import TOO_FEW_BELOW, WEIGHTS
from template_builder.live.cases import LOOKED_OVER
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds
from template_builder.live.formulas import shortened

PER_CENT = 100
_WEIGHT = {weight.id: weight for weight in WEIGHTS}


def _as_on_policy(id: str) -> str:
    """A share as it stands on Policy; the default where its cell is blank or its row gone."""
    share, limit = f'INDEX(policy_limit,MATCH("{id}",policy_row_key,0))', _WEIGHT[id].limit
    return f"IFERROR(IF(ISNUMBER({share}),{share},{limit}),{limit})"


ABORTED_FROM = LiveCell("abortion_alarm", _as_on_policy("abortion-alarm"))
EMPTY_ABOVE = LiveCell("empties_question", _as_on_policy("empties-question"))
# Those scanned in lamb alone make the share, as the figure in the summary has it; days count of every ewe.
IN_LAMB_LOST = LiveCell("in_lamb_lost", 'COUNTIFS(live_ewes_scanned,">0",live_ewes_certain,1)'
                                        '+COUNTIFS(live_ewes_scanned,">0",live_ewes_suspected,1)')
SO_MANY = LiveCell("so_many_lost", "IF(live_in_lamb_lost=0,0,"
                                   f"IF({PER_CENT}*live_in_lamb_lost/live_in_lamb<live_abortion_alarm,0,1))")
TWO_CLOSE = LiveCell("two_lost_close", 'IF(COUNTIF(live_ewes_lost_close,">1")=0,0,1)')
# Of single ewes of a small flock no share is made.
SCANNED = LiveCell("scanned_ewes", 'COUNTIF(live_ewes_scanned,">=0")')
EMPTY = LiveCell("empty_ewes", "COUNTIF(live_ewes_scanned,0)")
MANY_EMPTY = LiveCell("many_empty", f"IF(live_scanned_ewes<{TOO_FEW_BELOW},0,"
                                    f"IF({PER_CENT}*live_empty_ewes<=live_empties_question*live_scanned_ewes,0,1))")
EMPTY_HERE = LiveCell("empty_here", "COUNTIFS(live_ewes_scanned,0,live_ewes_gone,0)")
_NAMED = 40  # characters of illnesses: the rest of the line says what to do

ILL_OF = LiveCell("ill_of", "MID(" + "&".join(
    f'IF(INDEX(live_illness_ill,{number})=0,"",", "&INDEX(live_illness_ill,{number})&" {illness.animals} with {illness.title}")'
    for number, illness in enumerate(ILLNESSES, start=1)) + ",3,250)")
_PEOPLE = "+".join(f"INDEX(live_illness_ill,{number})" for number, illness in enumerate(ILLNESSES, start=1) if illness.people)

_ABORTIONS = (
    '"Abortions: "&IF(live_so_many_lost=0,"",live_in_lamb_lost&" of "&live_in_lamb&" in lamb")'
    '&IF(live_so_many_lost+live_two_lost_close=2,", ","")'
    f'&IF(live_two_lost_close=0,"","two within {ABORTIONS_CLOSE.days} days")'
    '&". Call your vet. People can catch it: gloves."'
)
_SEVERAL_ILL = (shortened("live_ill_of", _NAMED) + f'&" in {LOOKED_OVER} days. Ask your vet now."'
                f'&IF({_PEOPLE}=0,""," People can catch some: gloves.")')
_EMPTIES = ('live_empty_ewes&" of "&live_scanned_ewes&" scanned are empty. '
            'Before any is sent: ram, feed or disease? Ask your vet."')

# Each alarm: whether it is raised, how urgent it is, and what it says.
_RAISED = (
    ("live_so_many_lost+live_two_lost_close>0", NOW, _ABORTIONS),
    ("SUM(live_illness_ill)>0", NOW, _SEVERAL_ILL),
    ("AND(live_many_empty=1,live_empty_here>0)", SOON, _EMPTIES),
)
_NONE = len(_RAISED) + 1


def _of_each(words: list[str], otherwise: str) -> str:
    return first_that_holds([(f"{{k}}={number}", each) for number, each in enumerate(words, start=1)], otherwise)


ALARMS = LiveSheet("alarms", (
    LiveColumn("rank", _of_each([f"IF({raised},{number},{_NONE})" for number, (raised, *_) in enumerate(_RAISED, start=1)], "0")),
    LiveColumn("urgency", _of_each([f'"{URGENCIES[urgency]}"' for _, urgency, _ in _RAISED], '""')),
    LiveColumn("told", f'IF({{rank}}={_NONE},"",{_of_each([words for *_, words in _RAISED], chr(34) * 2)})'),
), rows=len(_RAISED))
HOW_MANY_ALARMS = LiveCell("how_many_alarms", f'COUNTIF(live_alarms_rank,"<{_NONE}")')
BEHIND = (
    ABORTED_FROM, EMPTY_ABOVE, IN_LAMB_LOST, SO_MANY, TWO_CLOSE, SCANNED, EMPTY, MANY_EMPTY, EMPTY_HERE, ILL_OF, HOW_MANY_ALARMS,
)
