"""The hidden block of lambs: for each row of Lambs who bore and who rears it, and what of it concerns that ewe."""

from collections.abc import Callable

from template_builder.layout.alerts import END, Alert
from template_builder.layout.choices import (
    Belly,
    Born,
    CameFrom,
    Cause,
    Choice,
    LambLeft,
    RearedBy,
    Sucked,
    Taken,
    Vigour,
    WhyMoved,
)
from template_builder.layout.illnesses import EWES as ILL_EWES
from template_builder.layout.illnesses import LAMBS as ILL_LAMBS
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.sides import BOTH_SIDES
from template_builder.live.cases import case_key, fell_ill, illness_of
from template_builder.live.columns import LiveColumn, LiveSheet, place
from template_builder.live.formulas import (
    EWE,
    FIRST,
    MINUTES,
    NO_MINUTE,
    code,
    day_minute,
    laid_or_matched,
    matched,
    number,
    rank,
    said,
    text,
    unknown,
    unreadable,
)
from template_builder.live.laid import LAID, astray
from template_builder.live.row_links import counted, there, touched

# A ewe takes a strange lamb best within a day or two of her own lambing; later neither is offered: house rule.
SET_ON_DAYS = 3
ON_LINE, OF_NO_EWE = "line ", "-"  # what a row nobody has written in is called, where it has no ewe
MOST_LAMBS = BOTH_SIDES  # one for each side: a ewe in milk on both rears two lambs
NOT_BORN = (Born.MUMMIFIED, Born.ABORTED)


def ranked(alert: Alert, since: str) -> str:
    """An alert and the minute since when as one number; what was seen long ago is left for the season's end."""
    if alert.fades is None:
        return f"{rank(alert, alert.urgency)}+{since}"
    lapsed = int(alert.fades.total_seconds()) // 60
    return f"IF(live_minute-{since}>{lapsed},{rank(alert, END)},{rank(alert, alert.urgency)})+{since}"


def _if_row(then: str, otherwise: str = '""') -> str:
    return f"IF({{touched}}=0,{otherwise},{then})"


def _read(id: str, how: Callable[[str], str]) -> str:
    """A cell of the row as written, whether or not the rest of it is filled in; blank where the row was deleted."""
    return there(f"lambs_{id}", how(f"lambs_{id}"))


def _coded(id: str, choices: type[Choice]) -> LiveColumn:
    return LiveColumn(id, there(f"lambs_{id}", code(f"lambs_{id}", choices), "0"))


def _flag(condition: str) -> str:
    """The key of a lamb set on to a ewe that something is wrong with: her row, since when it is with her."""
    return f'IF(IF({{rearer}}=0,TRUE,{{set_on}}=0),"",IF({condition},{{rearer}}*{EWE}+{day_minute("{moved_on}")},""))'


def _is(column: str, *choices: Born | RearedBy) -> str:
    tests = ",".join(f"{{{column}}}={place(choice)}" for choice in choices)
    return f"OR({tests})"


_BLANK_CAME = f"{{came_from}}<1,{{came_from}}={unknown(CameFrom)}"
_HOW_BLANK = (
    f'IF(AND({{foster_text}}<>"",{{foster_text}}<>"?"),{place(RearedBy.FOSTER_EWE)},'
    f'IF(AND({{name}}<>"",{{name}}<>"?"),{place(RearedBy.OWN_EWE)},{place(RearedBy.NO_EWE)}))'
)

_FULL = f"{{belly}}={place(Belly.FULL)}"
_NOT_SUCKED = f"{{sucked}}={place(Sucked.NO)}"
_UNLOOKED = f"NOT({said('{belly}', Belly)})"
_MOVED = said("{why_moved}", WhyMoved)
_BY_HER = f"NOT(AND({{set_on}}=1,{_MOVED}))"  # what is written of how it was taken is of its own ewe

_BORN_MINUTE, _CROWD = "INDEX(live_ewes_lambed_minute,{bearer})", "INDEX(live_ewes_crowd,{rearer})"
_AGE = f"live_minute-{_BORN_MINUTE}"

# Counts of a ewe's lambs, two digits each, so that one sum fetches them all: written down, born, aborted, alive and here,
# looked at next day, rows that cannot be read, weights in words.
BORNE = counted("TRUE", f"NOT({_is('born', *NOT_BORN)})", _is("born", Born.ABORTED), "{here}=1", "{belly}<>0", "{bad}=1",
                'AND({kg}<>"",{kg}<>"?",NOT(ISNUMBER({kg})))')
# And: mummified, decayed, born alive, weak, refused by her, taken from her for want of milk, alive and known how she took it.
BORNE_TOO = counted(
    _is("born", Born.MUMMIFIED), _is("born", Born.DEAD_DECAYED), "{alive}=1",
    f"AND({{alive}}=1,{{vigour}}={place(Vigour.WEAK)})",
    f"AND({{alive}}=1,OR({{why_moved}}={place(WhyMoved.REFUSED)},AND({{taken}}={place(Taken.REFUSED)},{_BY_HER})))",
    f"OR({{why_moved}}={place(WhyMoved.NO_MILK)},{{why_moved}}={place(WhyMoved.MASTITIS)})",
    f"AND({{alive}}=1,OR({{why_moved}}={place(WhyMoved.REFUSED)},AND({said('{taken}', Taken)},{_BY_HER})))",
)
# Of those at her side: how many, with something wrong, in need of colostrum, small ones of her own, not sucking, refused, hollow.
REARED = counted(
    "{here}=1", 'OR({flags}>0,NOT(AND({hollow_key}="",{unsucked_key}="",{refused_key}="")))',
    f"AND(NOT({_FULL}),OR({{vigour}}={place(Vigour.WEAK)},{{sucked}}={place(Sucked.TUBED)},{_NOT_SUCKED}))",
    "AND({rearer}={bearer},ISNUMBER({kg}),N({kg})<live_small_lamb)", f"AND({_NOT_SUCKED},NOT({_FULL}))", "{refuses}=1",
    f"{{belly}}={place(Belly.HOLLOW)}",
)

# Of her own at her side: hollow, and where nothing is said of its belly since birth, not sucking and refused.
FLAGS = counted(f"{{belly}}={place(Belly.HOLLOW)}", f"AND({_NOT_SUCKED},{_UNLOOKED})", f"AND({{refuses}}=1,{_UNLOOKED})")

_OWN = f"IF({{came_from}}={place(CameFrom.WITH_HER)},MAX({{ewe}},0),{{bearer}})"

LAMB_LINKS = LiveSheet("lambs", (
    LAID,
    LiveColumn("touched", touched(LAMBS)),
    LiveColumn("name", _read("ewe", text)),
    LiveColumn("named", laid_or_matched("{name}", "{laid}")),
    LiveColumn("ewe", "IF({touched}=0,0,{named})"),
    LiveColumn("foster_text", _read("foster_ewe", text)),
    # Whose row it is while nobody has written in it: a ewe's, a line's of a day book, no ewe's.
    LiveColumn("free", there("lambs_line", 'IF({touched}=1,0,IF({named}>0,{named},'
               f'IF({text("lambs_line")}="","{OF_NO_EWE}","{ON_LINE}"&{text("lambs_line")})))', "0")),
    LiveColumn("foster", matched("{foster_text}", "live_ewes_name")),
    LiveColumn("kg", _read("birth_weight", number)),
    LiveColumn("moved_on", _read("moved_on", number)),
    LiveColumn("left_on", _read("left_on", number)),
    _coded("born", Born), _coded("vigour", Vigour), _coded("sucked", Sucked), _coded("taken", Taken), _coded("belly", Belly),
    _coded("reared_by", RearedBy), _coded("why_moved", WhyMoved), _coded("came_from", CameFrom), _coded("left_how", LambLeft),
    LiveColumn("bad", f"IF({unreadable('{moved_on}:{left_on}')}+COUNTIF({{born}}:{{left_how}},-1)>0,1,0)"),
    LiveColumn("bearer", _if_row(f"IF(OR({_BLANK_CAME},{{came_from}}={place(CameFrom.BORN_HERE)}),MAX({{ewe}},0),0)", "0")),
    LiveColumn("how", f"IF({said('{reared_by}', RearedBy)},{{reared_by}},{_HOW_BLANK})"),
    LiveColumn("alive", _if_row(f"IF({_is('born', *(one for one in Born if one is not Born.ALIVE))},0,1)", "0")),
    LiveColumn("here", f"IF(OR({{alive}}=0,{said('{left_how}', LambLeft)},ISNUMBER({{left_on}}),{{left_on}}=\"?\"),0,1)"),
    LiveColumn("booked", f"IF({{how}}={place(RearedBy.OWN_EWE)},{{named}},"
                         f"IF({{how}}={place(RearedBy.FOSTER_EWE)},{{foster}},0))"),
    LiveColumn("rearer", "IF({here}=0,0,MAX({booked},0))"),
    LiveColumn("set_on", "IF({booked}=0,0,IF({booked}=" + _OWN + ",0,1))"),
    # Her own, or one set on to her that was not moved because its own ewe refused it.
    LiveColumn("refuses", f"IF(AND({{rearer}}>0,{{taken}}={place(Taken.REFUSED)}),IF(OR({{set_on}}=0,{{ewe}}=0,"
                          f"{{came_from}}={place(CameFrom.BOUGHT_IN)},{{came_from}}={place(CameFrom.MOTHER_NOT_KNOWN)},"
                          f"AND({_MOVED},{{why_moved}}<>{place(WhyMoved.REFUSED)})),1,0),0)"),
    LiveColumn("flags", f"IF(OR({{rearer}}=0,{{set_on}}=1),0,{FLAGS})"),
    LiveColumn("hollow_key", _flag(f"{{belly}}={place(Belly.HOLLOW)}")),
    LiveColumn("unsucked_key", _flag(f"AND({_NOT_SUCKED},{_UNLOOKED})")),
    LiveColumn("refused_key", _flag("{refuses}=1")),
    LiveColumn("borne", f"IF({{bearer}}=0,0,{BORNE})"),
    LiveColumn("borne_too", f"IF({{bearer}}=0,0,{BORNE_TOO})"),
    LiveColumn("reared", f"IF({{rearer}}=0,0,{REARED})"),
    LiveColumn("bearer_astray", astray("{bearer}")),
    LiveColumn("rearer_astray", astray("{rearer}")),
    # Spare: on the bottle or on no ewe, on a ewe that is gone, or one of more than two at her side; of known age, then unknown.
    LiveColumn("spare", f"IF({{here}}=0,0,IF({{rearer}}=0,IF({{how}}={place(RearedBy.PET)},1,2),"
                        f"IF({_CROWD}<0,3,IF({_CROWD}>{MOST_LAMBS},4,0))))"),
    LiveColumn("spare_key", f'IF({{spare}}=0,"",'
                            f"IF(IF({{bearer}}=0,{NO_MINUTE},{_BORN_MINUTE})={NO_MINUTE},{NO_MINUTE}*{FIRST}+{{k}},"
                            f'IF(AND({_AGE}>=0,{_AGE}<={SET_ON_DAYS * MINUTES}),({_AGE})*{FIRST}+{{k}},"")))'),
    # It was moved for its mother's mastitis; it died of an illness.
    LiveColumn("case", case_key(illness_of("{why_moved}", WhyMoved, ILL_EWES), "{bearer}", "{moved_on}")),
    fell_ill("lambs"),
    LiveColumn("cause", f"IF({{left_how}}={place(LambLeft.DIED)},{there('lambs_cause', code('lambs_cause', Cause), '0')},0)"),
    LiveColumn("died_case", case_key(illness_of("{cause}", Cause, ILL_LAMBS), "{k}", "{left_on}")),
    fell_ill("lambs", "died_case"),
    LiveColumn("died_tag", f'IF({{died_case}}=0,"",{text("lambs_tag")})'),
    LiveColumn("died_called", f'IF({{died_case}}=0,"",{{name}}&"-"&{text("lambs_lamb_no")})'),
), rows_of="lambs")

SPARE_WHY = ("on the bottle", "on no ewe", "its ewe is gone", "one of a big litter")
