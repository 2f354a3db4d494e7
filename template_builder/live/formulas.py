"""The few patterns all live formulas are made of.

Rows that people fill in are read by INDEX(name, k) alone, which survives rows being deleted, inserted and sorted. Words and
numbers are told apart on reading, so that words where a date belongs are seen and not taken for a blank. Numbers of ewes
are matched as trimmed text once; from then on a ewe is the number of her row, and counting is done on those numbers.
"""

from collections.abc import Iterable

from template_builder.layout.alerts import ALERTS, END, VERY_THIN_BELOW, Alert
from template_builder.layout.choices import Choice

NO_BREAK_SPACE = "\u00a0"
NOT_MATCHED = -1  # a number that Ewes (or Groups) does not have; 0 is blank
UNREADABLE = -1  # a word that is not in the list
PAIR = 100  # counts packed into one number stand two digits each
EWE = 10**11  # a key that sorts by ewe: her row, then five digits of a date, then five of a row
DAY = 10**5
NO_DAY = 99_999  # stands for a date that is not written: later than all others
MINUTES = 1440  # in a day
NO_MINUTE = NO_DAY * MINUTES
SINCE = 150_000_000  # what is wrong with a ewe as one number: which alert, and in these last digits since which minute
LATER = 40 * SINCE  # from here on stands what is left for the end of the season; room for so many alerts, 15 digits with FIRST
FIRST = 10**5  # so far apart stand the keys of a list, with room for the row in between


def rank(alert: Alert, urgency: int) -> int:
    """An alert as a number, the smaller, the more urgent: its place among all alerts, later where it is left for the end."""
    return (ALERTS.index(alert) + 1) * SINCE + (LATER if urgency >= END else 0)


def starts(urgency: int) -> int:
    """The smallest number an alert of this urgency can have."""
    return LATER if urgency >= END else (sum(alert.urgency < urgency for alert in ALERTS) + 1) * SINCE


def text(name: str, at: str = "{k}") -> str:
    """What is written, without spaces at its ends."""
    return f'TRIM(SUBSTITUTE(INDEX({name},{at})&"","{NO_BREAK_SPACE}"," "))'


def number(name: str, at: str = "{k}") -> str:
    """The number or date written, "" for a blank, else the words that stand there."""
    return f'IF(ISNUMBER(INDEX({name},{at})),INDEX({name},{at}),TRIM(INDEX({name},{at})&""))'


def code(name: str, choices: type[Choice], at: str = "{k}") -> str:
    """The place of a value in its list, 0 for a blank, one more than the list is long for "?", -1 for a word not in it."""
    cell = f"INDEX({name},{at})"
    return f'IF(TRIM({cell}&"")="",0,IFERROR(MATCH(TRIM({cell}),list_{choices.__name__.lower()},0),{UNREADABLE}))'


def unknown(choices: type[Choice]) -> int:
    """The code of "?"."""
    return len(choices) + 1


def said(cell: str, choices: type[Choice]) -> str:
    """Whether a code says one of the list's values: not blank, not "?", not unreadable."""
    return f"AND({cell}>0,{cell}<{unknown(choices)})"


def unreadable(cells: str) -> str:
    """How many of these cells side by side hold neither a number nor a blank nor "?": words, or an error."""
    return f'COLUMNS({cells})-COUNT({cells})-COUNTIF({cells},"")-COUNTIF({cells},"~?")'


def very_thin(condition: str) -> str:
    """Whether a condition says so; a blank and words say nothing."""
    return f"IF(ISNUMBER({condition}),{condition}<{VERY_THIN_BELOW},FALSE)"


def if_all(conditions: Iterable[str], then: str) -> str:
    """`then` where all of these are so, else 0: one is looked at only where those before it are so, which AND does not spare."""
    for condition in reversed([*conditions]):
        then = f"IF({condition},{then},0)"
    return then


def matched(cell: str, names: str) -> str:
    """The row in which a text stands under `names`: 0 where it is blank or "?", -1 where it stands nowhere."""
    return f'IF(OR({cell}="",{cell}="?"),0,IFERROR(MATCH({exactly(cell)},{names},0),{NOT_MATCHED}))'


def laid_or_matched(cell: str, laid: str) -> str:
    """The same among ewes, looked for first where it was laid ready, which spares the search through all of them."""
    there = f"AND(INDEX(live_ewes_first,MAX(1,{laid}))=1,INDEX(live_ewes_name,MAX(1,{laid}))={cell})"
    return f'IF(OR({cell}="",{cell}="?"),0,IF(IF({laid}>0,IFERROR({there},FALSE),FALSE),{laid},' \
           f"IFERROR(MATCH({exactly(cell)},live_ewes_name,0),{NOT_MATCHED})))"


def exactly(cell: str) -> str:
    """A text to be matched as it is: *, ? and ~ would stand for other signs."""
    return f'SUBSTITUTE(SUBSTITUTE(SUBSTITUTE({cell},"~","~~"),"*","~*"),"?","~?")'


def packed(cell: str, pair: int) -> str:
    """The count at this pair of digits."""
    higher = f"-{PAIR}*INT({cell}/{PAIR ** (pair + 1)})"
    return f"(INT({cell}/{PAIR ** pair}){higher})" if pair else f"({cell}{higher})"


def latest(keys: str) -> str:
    """The largest key of this ewe, 0 where she has none."""
    at_least, above = f'COUNTIF({keys},">="&{{k}}*{EWE})', f'COUNTIF({keys},">="&({{k}}+1)*{EWE})'
    return f"IF({at_least}={above},0,LARGE({keys},{above}+1))"


def latest_until(keys: str, most: str) -> str:
    """The largest key of this ewe whose last digits are at most this number, 0 where she has none."""
    at_least, above = f'COUNTIF({keys},">="&{{k}}*{EWE})', f'COUNTIF({keys},">"&{{k}}*{EWE}+{most})'
    return f"IF({at_least}={above},0,LARGE({keys},{above}+1))"


def earliest(keys: str) -> str:
    """The smallest key of this ewe, 0 where she has none."""
    below, up_to = f'COUNTIF({keys},"<"&{{k}}*{EWE})', f'COUNTIF({keys},"<"&({{k}}+1)*{EWE})'
    return f"IF({below}={up_to},0,SMALL({keys},{below}+1))"


def key(ewe: str, day: str) -> str:
    """The key of a row of a ewe by date; the row without a date comes last."""
    return f"{ewe}*{EWE}+IF(ISNUMBER({day}),INT({day}),{NO_DAY})*{DAY}+{{k}}"


def key_row(cell: str) -> str:
    return f"({cell}-INT({cell}/{DAY})*{DAY})"


def key_minute(cell: str) -> str:
    """The day in a key of this ewe, in minutes; later than all others where none is written."""
    return f"(INT({cell}/{DAY})-{{k}}*{EWE // DAY})*{MINUTES}"


def minute(since: str) -> str:
    """A moment in minutes; where none is written, one later than all others."""
    return f"IF(ISNUMBER({since}),ROUND({since}*{MINUTES},0),{NO_MINUTE})"


def day_minute(day: str) -> str:
    """The start of a day in minutes; where none is written, a moment later than all others."""
    return f"IF(ISNUMBER({day}),INT({day})*{MINUTES},{NO_MINUTE})"


def day_words(day: str) -> str:
    """A date in words, "24 Mar", in every language of a program."""
    return f'DAY({day})&" "&MID("JanFebMarAprMayJunJulAugSepOctNovDec",MONTH({day})*3-2,3)'


def moment_words(at: str) -> str:
    """A moment given in minutes in words, "24 Mar 03:10"; at midnight no hour was written."""
    day, of_day = f"INT({at}/{MINUTES})", f"({at}-INT({at}/{MINUTES})*{MINUTES})"
    hour = f'RIGHT("0"&INT({of_day}/60),2)&":"&RIGHT("0"&({at}-INT({at}/60)*60),2)'
    return f'{day_words(day)}&IF({of_day}=0,""," "&{hour})'


def shortened(words: str, most: int) -> str:
    """Words cut short where there are too many."""
    return f'IF(LEN({words})>{most},MID({words},1,{most - 3})&"...",{words})'
