"""The flock's alarm on Tonight: so many abortions, or two so close together, that the vet is called about all ewes."""

from template_builder.layout.alerts import ABORTIONS_CLOSE
from template_builder.layout.policy import WEIGHTS
from template_builder.live.columns import LiveCell

PER_CENT = 100
_ALARM = next(weight for weight in WEIGHTS if weight.id == "abortion-alarm")
_SET = f'INDEX(policy_limit,MATCH("{_ALARM.id}",policy_row_key,0))'

# The share as it stands on Policy; the default where its cell is blank or its row gone.
ALARM_FROM = LiveCell("abortion_alarm", f"IFERROR(IF(ISNUMBER({_SET}),{_SET},{_ALARM.limit}),{_ALARM.limit})")
# Those scanned in lamb alone make the share, as the figure in the summary has it; days count of every ewe.
IN_LAMB_LOST = LiveCell("in_lamb_lost", 'COUNTIFS(live_ewes_scanned,">0",live_ewes_certain,1)'
                                        '+COUNTIFS(live_ewes_scanned,">0",live_ewes_suspected,1)')
SO_MANY = LiveCell("so_many_lost", "IF(live_in_lamb_lost=0,0,"
                                   f"IF({PER_CENT}*live_in_lamb_lost/live_in_lamb<live_abortion_alarm,0,1))")
TWO_CLOSE = LiveCell("two_lost_close", 'IF(COUNTIF(live_ewes_lost_close,">1")=0,0,1)')
BEHIND = (ALARM_FROM, IN_LAMB_LOST, SO_MANY, TWO_CLOSE)

NO_ALARM = "no abortion alarm"
FLOCK_ALARM = LiveCell("flock_alarm", (
    f'IF(live_so_many_lost+live_two_lost_close=0,"{NO_ALARM}","Abortions, seen or likely: "'
    '&IF(live_so_many_lost=0,"",live_in_lamb_lost&" of "&live_in_lamb&" in lamb")'
    '&IF(live_so_many_lost+live_two_lost_close=2,", ","")'
    f'&IF(live_two_lost_close=0,"","two within {ABORTIONS_CLOSE.days} days")&". Call your vet about the flock.")'
), "Flock")
