"""The top of Tonight: a number as people type it -> which ewe is meant, and what the workbook says of her.

Her number as it stands on Ewes comes first; then one that differs in leading zeros alone; then the last digits of her number;
then those of her official tag or of what else she is called. Each only where one ewe fits: two, or none, is said in words.
"""

from template_builder.layout.choices import Born, Choice
from template_builder.layout.settings import CALL, SETTING
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.live.columns import LiveCell, place
from template_builder.live.formulas import MINUTES, NO_BREAK_SPACE, NO_MINUTE, day_words, exactly, matched, moment_words
from template_builder.live.lamb_block import OF_NO_EWE, ON_LINE
from template_builder.live.status import EWE_STATUS, NO_LONGER_HERE
from template_builder.live.tonight import what_is_seen
from template_builder.live.warned import warned

ASKED = "tonight_asked"  # the cell a number is typed into
_LONGEST = 30  # figures of a number, more than any tag has
_ZEROS = "0" * _LONGEST
_TAGS = ("ewes_official_tag", "ewes_also_known_as")
_CANNOT = "cannot be read"
_FOUND = "live_found"


def _padded(cell: str) -> str:
    """Alike for numbers that differ in leading zeros alone."""
    return f'RIGHT("{_ZEROS}"&{cell},{_LONGEST})'


_SAME_BUT_ZEROS = f'({_padded("INDEX(live_ewes_name,0)")}={_padded("live_asked")})*(INDEX(live_ewes_first,0)=1)'
_ENDS_SO = "(RIGHT(INDEX(live_ewes_name,0),LEN(live_asked))=live_asked)*(INDEX(live_ewes_first,0)=1)"
_TAG_ENDS_SO = "+".join(f"(RIGHT(INDEX({tag},0),LEN(live_asked))=live_asked)" for tag in _TAGS)


def _fitting(id: str, asked_if: str, rows: str, of: str) -> tuple[LiveCell, LiveCell]:
    """How many ewes fit in this way, -1 where a number cannot be read; and, where one does, her row."""
    return (
        LiveCell(id, f"IF({asked_if},IFERROR(SUMPRODUCT({rows}*1),-1),0)"),
        LiveCell(f"{id}_row", f"IF(live_{id}=1,IFERROR({of},0),0)"),
    )


def _at_end_of(tag: str) -> str:
    return f'MATCH("*"&{exactly("live_asked")},{tag},0)'


# Which ewe is meant. An asked number that stands on Ewes as typed asks no further.
IDENTITY = (
    LiveCell("asked", f'TRIM(SUBSTITUTE({ASKED}&"","{NO_BREAK_SPACE}"," "))'),
    LiveCell("as_typed", matched("live_asked", "live_ewes_name")),
    *_fitting("but_zeros", "live_as_typed<0", _SAME_BUT_ZEROS, f"SUMPRODUCT({_SAME_BUT_ZEROS}*INDEX(live_ewes_k,0))"),
    *_fitting("ends_so", "AND(live_as_typed<0,live_but_zeros=0)", _ENDS_SO, f"SUMPRODUCT({_ENDS_SO}*INDEX(live_ewes_k,0))"),
    *_fitting("tag_ends_so", "AND(live_as_typed<0,live_but_zeros=0,live_ends_so=0)", f"({_TAG_ENDS_SO}>0)",
              f"IFERROR({_at_end_of(_TAGS[0])},{_at_end_of(_TAGS[1])})"),
    LiveCell("found", "MAX(live_as_typed,live_but_zeros_row,live_ends_so_row,live_tag_ends_so_row)"),
    LiveCell("found_name", f'IF({_FOUND}=0,"",INDEX(live_ewes_name,{_FOUND}))'),
    LiveCell("found_seen", f'IF({_FOUND}=0,"",{what_is_seen(_FOUND)})'),
    # Her row on Lambing: the one written in, else the one laid ready for her; 0 where she has none.
    LiveCell("found_at", f"IF({_FOUND}=0,0,IF(INDEX(live_ewes_at,{_FOUND})>0,INDEX(live_ewes_at,{_FOUND}),"
             f"IFERROR(MATCH({_FOUND},live_lambing_named,0),0)))"),
    # The row to write her in: hers, else the first one nobody has; 0 where none is left.
    LiveCell("lambing_row", "IF(live_found_at>0,live_found_at,IF(COUNTA(lambing_ewe)<ROWS(lambing_ewe),"
             'IF(INDEX(lambing_ewe,COUNTA(lambing_ewe)+1)="",COUNTA(lambing_ewe)+1,0),0))'),
    # The first row of hers on Lambs nobody has written in; in a day book that of her line; else one of no ewe.
    LiveCell("lamb_of_hers", f"IF({_FOUND}=0,0,IFERROR(MATCH({_FOUND},live_lambs_free,0),"
             f'IF(live_found_at=0,0,IFERROR(MATCH("{ON_LINE}"&TRIM(INDEX(lambing_line,live_found_at)&""),live_lambs_free,0),'
             "0))))"),
    LiveCell("lamb_row", "IF(live_lamb_of_hers>0,live_lamb_of_hers,"
             f'IF({_FOUND}=0,0,IFERROR(MATCH("{OF_NO_EWE}",live_lambs_free,0),0)))'),
)

_GONE = f'IF(INDEX(live_ewes_gone,{_FOUND})=1,", {NO_LONGER_HERE}","")'
ANSWER = LiveCell("answer", (
    'IF(live_asked="","Type a ewe\'s number, or its last digits.",'
    f'IF({_FOUND}>0,"Ewe "&live_found_name&{_GONE},'
    'IF(live_but_zeros>1,live_but_zeros&" ewes fit "&live_asked&": write it as on Ewes.",'
    'IF(live_ends_so>1,live_ends_so&" numbers end in "&live_asked&": type more of it.",'
    'IF(live_tag_ends_so>1,live_tag_ends_so&" tags end in "&live_asked&": type more of it.",'
    'IF(MIN(live_but_zeros,live_ends_so,live_tag_ends_so)<0,"A number on Ewes cannot be read: put it right first.",'
    '"No ewe on Ewes fits "&live_asked&"."))))))'
))


def _written(column: str, at: str = _FOUND) -> str:
    return f'TRIM(INDEX({column},{at})&"")'


def _ewe(column: str) -> str:
    return f"INDEX(live_ewes_{column},{_FOUND})"


def _on_lambing(column: str) -> str:
    return f'IF(live_found_at=0,"",{_written(f"lambing_{column}", "live_found_at")})'


def _after(before: str, words: str) -> str:
    """", pen 7", nothing where nothing is written."""
    return f'IF({words}="","",", {before}"&{words})'


def _joined(*parts: str) -> str:
    return "MID(" + "&".join(parts) + ",3,250)"


def _lambs(*conditions: str) -> str:
    return f"COUNTIFS(live_lambs_bearer,{_FOUND},{','.join(conditions)})"


def _born(*choices: Choice) -> str:
    return "+".join(_lambs("live_lambs_born", str(place(choice))) for choice in choices)


_DUE = _ewe("due")
_DAYS = f"(INT({_DUE})-INT(live_now))"
_SCANNED = (
    f'IF({_ewe("scanned")}="","not scanned",IF(ISNUMBER({_ewe("scanned")}),IF(N({_ewe("scanned")})=0,"empty",'
    f'{_ewe("scanned")}&IF(N({_ewe("scanned")})=1," lamb"," lambs")),{_ewe("scanned")}))'
)
_DUE_IN = (f'IF({_ewe("lambed")}=1,"",IF({_DAYS}=0," (today)",IF({_DAYS}>0," (in "&{_DAYS}," ("&-{_DAYS})'
           f'&IF(OR({_DAYS}=1,{_DAYS}=-1)," day"," days")&IF({_DAYS}>0,")"," ago)")))')
_DUE_WORDS = f'IF(ISNUMBER({_DUE}),", due "&{day_words(_DUE)}&{_DUE_IN},IF({_DUE}="","",", due "&{_DUE}))'

_LAMBED = (f'IF({_ewe("lambed")}=1,IF({_ewe("lambed_minute")}={NO_MINUTE},"yes, day not written",'
           f'{moment_words(_ewe("lambed_minute"))}),IF({_ewe("aborted")}=1,"aborted","not yet"))')
_ROWS = f"COUNTIF(live_lambs_bearer,{_FOUND})"
_ALIVE = f'IF({_ROWS}>0,{_lambs("live_lambs_alive", "1")},N({_ewe("born_alive")}))'
_DEAD = f'IF({_ROWS}>0,{_born(Born.DEAD_FRESH, Born.DEAD_DECAYED)},N({_ewe("born_dead")}))'
_LOST = _born(Born.MUMMIFIED, Born.ABORTED)
_LITTER = (f'IF({_ROWS}+N({_ewe("born_alive")})+N({_ewe("born_dead")})=0,"no lambs written",'
           f'{_ALIVE}&" born alive, "&{_DEAD}&" dead"'
           f'&IF({_LOST}=0,"",", "&({_LOST})&" mummified or aborted")&"; with her now "&{_ewe("at_side")})')
_HELP = (f'IF({_on_lambing("help")}="","",", help "&{_on_lambing("help")})'
         f'&IF({_on_lambing("why_helped")}="",""," ("&{_on_lambing("why_helped")}&")")')
_LOOK_DUE = f'INDEX({EWE_STATUS.name("next_look")},{_FOUND})'
_NEXT_LOOK = (f'IF({_ewe("looked")}=1,TRIM("made "&{_on_lambing("next_day")}),'
              f'IF(ISNUMBER({_LOOK_DUE}),"due "&{moment_words(f"ROUND({_LOOK_DUE}*{MINUTES},0)")},""))')
_TROUBLE = _joined(_after("", _on_lambing("trouble")), _after("", "live_found_seen"), _after("note: ", _on_lambing("notes")))


def _link(words: str, sheet: str, top: str, row: str, otherwise: str) -> str:
    """A link to the first cell of a row of an entry sheet, found by where its first row stands now."""
    at = f"(ROW(INDEX({top},1,1))+{row}-1)"
    return f'IF({row}=0,"{otherwise}",HYPERLINK("#{sheet}!A"&{at},{words.format(at=at)}))'


_HERS = f'IF(live_found_at>0,"{LAMBING.title} "&{{at}},"{LAMBING.title}, a free row")'
_HERS_TOO = (f'IF(live_lamb_of_hers>0,"{LAMBS.title} "&{{at}}&", her first free row","{LAMBS.title} "&{{at}}'
             '&", a row of no ewe: hers are full")')


def _line(id: str, words: str, formula: str) -> LiveCell:
    return LiveCell(f"look_up_{id}", f'IF({_FOUND}=0,"",IFERROR({formula},"{_CANNOT}"))', words)


# What is shown of the ewe found, line by line: its id, its words, and the formula of a text.
LOOK_UP = (
    _line("scanned", "Scanned, due", f"{_SCANNED}&{_DUE_WORDS}"),
    _line("where", "Where", _joined(
        _after("pen ", _on_lambing("pen")), _after("mark ", _written("ewes_mark")), _after("group ", _written("ewes_group")))),
    _line("warning", "Last year", warned(_FOUND, "no warning")),
    _line("lambed", "Lambed", f'{_LAMBED}&{_HELP}&"; "&{_LITTER}'),
    _line("next_look", "Next look", _NEXT_LOOK),
    _line("trouble", "Trouble, notes", _TROUBLE),
)
LINKS = (
    _line("to_lambing", "", _link(_HERS, LAMBING.title, "lambing_all", "live_lambing_row", "no free row on Lambing")),
    _line("to_lambs", "", _link(_HERS_TOO, LAMBS.title, "lambs_all", "live_lamb_row", "no free row on Lambs")),
)


def _number(id: str) -> str:
    return f'TRIM(INDEX(season_value,MATCH("{id}",season_row_key,0))&"")'


def _called(id: str) -> str:
    return _after(f"{SETTING[id].title.lower()} ", _number(id))


# Whom to call, from Season.
CALLS = LiveCell("calls", f'IF({_number(CALL[0])}="","write your vet\'s number on Season","vet "&{_number(CALL[0])})'
                 "&" + "&".join(map(_called, CALL[1:])), "Call")
