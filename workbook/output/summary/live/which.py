"""Which ewes go, as the lines of page one: each decision with its number, below it the reasons that decide and the ewes.

A line is a heading, a reason or nothing, as the decisions stand; so many lines are laid ready as the page has room for.
"""

from template_builder.layout.choices import Verdict
from template_builder.layout.policy import RULES
from template_builder.layout.summary_tabs import EWE_DECISIONS
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds, place
from workbook.output.summary.live.ewes import EWE, OWN_REASON, REASON, STEP

GROUPS, WHICH = "groups", "which"
GOING = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH)  # the first of the verdicts
OWN_WORDS = "decided at the meeting"
MOST_NAMED = 30  # ewes of one reason in one line; what is more is counted
MOST_LINES = 34  # on page one
MORE, MORE_WORDS = "and more", f"reasons than fit here: all are on {EWE_DECISIONS}"
NUMBERS_ON = f"numbers on {EWE_DECISIONS}"
_MOST_GROUPS = len(GOING) * (len(RULES) + 1) + 3  # each rule and the meeting's own word; those that stay are three more
_KEEP, _REASON, _MORE = len(GOING) + 1, len(GOING) + 2, len(GOING) + 3  # kinds of lines, after the headings
_FEWER = 10**5  # more ewes than a flock has


def groups_sheet(first_column: int) -> LiveSheet:
    """Ewes of one decision and one reason together: how many, and where they begin among all ewes in that order."""
    key = "INDEX(live_listed_key,MAX(1,{start}))"
    within = "COUNTIF(live_listed_start,0)"
    groups = f"(ROWS(live_listed_start)-{within})"
    title = f'IF({{reason}}=0,"",IF({{reason}}={OWN_REASON},"{OWN_WORDS}",INDEX(live_rules_title,MAX(1,{{reason}}))))'
    return LiveSheet(GROUPS, (
        LiveColumn("start", f"IF({{k}}>{groups},0,SMALL(live_listed_start,{within}+{{k}}))"),
        LiveColumn("next", f"IF({{k}}>={groups},ROWS(live_listed_start)+1,SMALL(live_listed_start,{within}+{{k}}+1))"),
        LiveColumn("number", "IF({start}=0,0,{next}-{start})"),
        LiveColumn("decision", f"IF({{start}}=0,0,INT({key}/{REASON}))"),
        LiveColumn("reason", f"IF({{start}}=0,0,INT({key}/{EWE})-{{decision}}*{STEP})"),
        LiveColumn("title", f'IF({{start}}=0,"",{title})'),
        LiveColumn("rank", f"IF({{start}}=0,{_MOST_GROUPS},{{decision}})*{_FEWER * STEP}+({_FEWER - 1}-{{number}})*{STEP}+"
                           "IF({start}=0,{k},{reason})"),
    ), rows=_MOST_GROUPS, first_column=first_column)


def which_cells() -> tuple[LiveCell, ...]:
    """The line in which each heading stands; the first is that of the strictest decision."""
    found = [LiveCell("which_top_1", "1")]
    for number, verdict in enumerate(GOING, start=1):
        reasons = f"COUNTIF(live_groups_decision,{place(verdict)})"
        found.append(LiveCell(f"which_top_{number + 1}", f"live_which_top_{number}+1+{reasons}"))
    return tuple(found)


def line(column: str, number: int) -> str:
    """The formula that shows a line on the page. It looks at a number first, as blank words pass no change on."""
    return f'=IF(INDEX(live_which_kind,{number})=0,"",INDEX(live_which_{column},{number}))'


def which_sheet(first_column: int) -> LiveSheet:
    """The lines; `room` is how many ewes' numbers the height of each takes, blank for a line the page has no room for.

    `fewer` is by how many less, where it is said how many more there are.
    """
    group = "-".join(["{k}", *(f"IF({{k}}>live_which_top_{number},1,0)" for number in range(1, len(GOING) + 1))])
    return LiveSheet(WHICH, (
        LiveColumn("room", ""), LiveColumn("fewer", ""),
        LiveColumn("kind", _kind()),
        LiveColumn("group", f"IF({{kind}}={_REASON},MATCH(SMALL(live_groups_rank,{group}),live_groups_rank,0),0)"),
        LiveColumn("number", "IF({group}=0,0,INDEX(live_groups_number,MAX(1,{group})))"),
        LiveColumn("named", "IF({number}>{room},MAX(1,{room}-{fewer}),{number})"),
        LiveColumn("said", _said()),
        LiveColumn("ewes", f'IF({{kind}}={_KEEP},{_stay()},IF({{kind}}={_MORE},"{MORE_WORDS}",IF({{number}}=0,"",{_names()})))'),
    ), rows=MOST_LINES, first_column=first_column)


def _kind() -> str:
    end = len(GOING) + 1
    tops = [(f"{{k}}=live_which_top_{number}", number) for number in range(1, end)]
    found = first_that_holds([*tops, (f"{{k}}=live_which_top_{end}", _KEEP), (f"{{k}}>live_which_top_{end}", 0)], _REASON)
    last = "COUNT(live_which_room)"
    return f"IF({{k}}>{last},0,IF(AND({{k}}={last},live_which_top_{end}>{{k}}),{_MORE},{found}))"


def _said() -> str:
    kept = f'"{Verdict.KEEP.label} "&live_final_keep'
    going = [(f"{{kind}}={number}", f'"{verdict.label} "&live_final_{verdict.name.lower()}')
             for number, verdict in enumerate(GOING, start=1)]
    return first_that_holds(
        [("{kind}=0", '""'), *going, (f"{{kind}}={_KEEP}", kept), (f"{{kind}}={_MORE}", f'"{MORE}"')],
        "INDEX(live_groups_title,MAX(1,{group}))")


def _stay() -> str:
    """Beside those that are kept: where all numbers are, and how many ewes are in doubt."""
    others = (("live_final_unknown", Verdict.UNKNOWN.label), ("live_not_read", "cannot be read"))
    doubt = "&".join(f'IF({name}=0,"","{words} "&{name}&", ")' for name, words in others)
    return f'{doubt}&"{NUMBERS_ON}"'


def _names() -> str:
    """As many ewes as there is room for, and how many more there are."""
    start = "INDEX(live_groups_start,MAX(1,{group}))"
    last = "ROWS(live_listed_name)"
    each = [f'IF({{named}}<{at},"","{"  " if at > 1 else ""}"&INDEX(live_listed_name,MIN({last},{start}+{at - 1})))'
            for at in range(1, MOST_NAMED + 1)]
    return "&".join([*each, 'IF({number}>{named},"  and "&({number}-{named})&" more","")'])
