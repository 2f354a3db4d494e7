"""The ewes the scan says to plan for, on Plan: as `template_builder.plan.ahead` has them, in formulas.

Keys sort the list: why, then those due first. The singles named for a big litter follow from how many of both are due on her
night, the two before it and the one after: what a single of the night before is wanted for otherwise is known by then.
"""

from template_builder.files.look import BODY, DATE, STRONG
from template_builder.files.tab import linked
from template_builder.layout.settings import SETTING
from template_builder.layout.sheets.ewes import EWES as EWES_SHEET
from template_builder.live.columns import LiveCell, LiveColumn, LiveSheet, first_that_holds
from template_builder.live.ewe_block import EWES
from template_builder.live.formulas import day_words, very_thin
from template_builder.live.plan_block import NO_DUE, PLAN
from template_builder.live.warned import warned
from template_builder.plan.ahead import SECTIONS, TOLD, TWO_SINGLES_FROM, Why
from template_builder.plan.spare import REARS

# Of a key: whether her litter is of three or fewer, her due day, whether she bears one for the first time, and why.
_FEWER, _DAY, _MOST, _WHY = 10**5, 10**6, 10**11, 10**12
_CENTRED = BODY.with_(align="center")
_SCORE = _CENTRED.with_(number_format="0.0#")


def _hers(column: str) -> str:
    return PLAN.beside(column)


def _written(column: str) -> str:
    return f'TRIM(INDEX(ewes_{column},{{k}})&"")<>""'


def _some(*columns: str) -> str:
    return f"OR({','.join(f'N(INDEX(ewes_{column},{{k}}))>0' for column in columns)})"


_FIRST = "IF(ISNUMBER(INDEX(ewes_lambings_before,{k})),INDEX(ewes_lambings_before,{k})=0,FALSE)"
_RAM_IN = f"INDEX(groups_ram_in,{EWES.beside('group')})"
# Her night, unless her due day is no more than the first day of her group's ram and the days of gestation.
_OF_HER_OWN = first_that_holds((
    (f'{_hers("near")}=""', '""'), (f"OR({EWES.beside('group')}=0,ISNUMBER({EWES.beside('mated_on')}))", _hers("near")),
    (f"NOT(ISNUMBER({_RAM_IN}))", _hers("near")),
    (f"OR({_hers('near')}-INT({_RAM_IN})=live_gestation,{_hers('near')}-INT({_RAM_IN})={SETTING['gestation'].default})", '""'),
), _hers("near"))
_NIGHT = f'IF({{night}}="",{NO_DUE},{{night}})'

AHEAD = LiveSheet("ahead", (
    LiveColumn("night", f'IF({_hers("litter")}=0,"",{_OF_HER_OWN})'),
    LiveColumn("warning", f'IF({_hers("litter")}=0,"",{warned("{k}", "")})'),
    LiveColumn("why", f"IF({_hers('litter')}=0,0," + first_that_holds((
        (f"{_hers('scanned')}>{REARS}", Why.BIG_LITTER.value),
        (_written("past_abortion"), Why.ABORTED.value), (_written("past_prolapse"), Why.PROLAPSE.value),
        (_written("past_udder"), Why.UDDER.value), (_some("past_refused", "past_lost", "past_fault_1"), Why.REFUSED.value),
        ('{warning}<>""', Why.WARNED.value), (_FIRST, Why.FIRST.value)), 0) + ")"),
    LiveColumn("key", f'IF({{why}}=0,"",{{why}}*{_WHY}+IF({{why}}={Why.FIRST},MAX(0,{REARS}-{_hers("scanned")}),0)*{_MOST}'
                      f"+{_NIGHT}*{_DAY}+IF({_hers('scanned')}<{TWO_SINGLES_FROM},1,0)*{_FEWER}+{{k}})"),
    LiveColumn("foster", f'IF(OR({_hers("scanned")}<>1,{{night}}="",{{warning}}<>"",{very_thin(_hers("condition"))}),"",'
                         f'{{night}}*{_FEWER}+{{k}})'),
), rows_of="ewes")

(_LAST_BIG, _BIG_ROWS), (_LAST_WARNED, _), (_LAST_FIRST, _) = SECTIONS
_PARTS = ("big", "warned", "first")
AHEAD_CELLS = (
    *(LiveCell(f"ahead_to_{part}", f'COUNTIF(live_ahead_key,"<{(last + 1) * _WHY}")')
      for part, (last, _) in zip(_PARTS, SECTIONS, strict=True)),
    LiveCell("ahead_big", "live_ahead_to_big+0"),
    LiveCell("ahead_warned", "live_ahead_to_warned-live_ahead_to_big"),
    LiveCell("ahead_first", "live_ahead_to_first-live_ahead_to_warned"),
    *(LiveCell(f"ahead_{part}_shown", f"MIN({rows},live_ahead_{part})")
      for part, (_, rows) in zip(_PARTS, SECTIONS, strict=True)),
)


def _big_before(nights: int, *, fours: bool = False) -> str:
    """Big litters due before a night so many from hers; or those and, of that night, the litters of four and more."""
    key = f"({{day}}{nights:+})*{_DAY}+{Why.BIG_LITTER * _WHY + (_FEWER if fours else 0)}"
    return f'IF({{day}}="",0,COUNTIF(live_ahead_key,"<"&{key}))'


def _id(name: str, nights: int) -> str:
    return f"{name}_{'before' if nights < 0 else 'after'}_{abs(nights)}"


def _places(nights: int) -> str:
    """Singles wanted that night: one for each big litter, another for each of four and more."""
    here, next_ = f"{{{_id('big', nights)}}}", f"{{{_id('big', nights + 1)}}}"
    return f"({next_}-{here}+{{{_id('fours', nights)}}}-{here})"


def _singles(nights: int) -> str:
    return f"({{{_id('singles', nights + 1)}}}-{{{_id('singles', nights)}}})"


def _left(one: str, other: str) -> str:
    return f"MAX(0,{one}-{other})"


def _single(wanted: str) -> str:
    """The place in the sorted list of singles of the one for the place wanted so late in the night; 0 for none."""
    same = f"{{{_id('singles', 0)}}}+{wanted}"
    after = f"{{{_id('singles', 1)}}}+MIN({_places(1)},{_singles(1)})+{wanted}-{{same}}"
    before = f"{{{_id('singles', -1)}}}+MIN({_places(-1)},{_singles(-1)})+{{taken}}+{wanted}-{{same}}-{{after}}"
    return first_that_holds(((f"{wanted}<={{same}}", same), (f"{wanted}<={{same}}+{{after}}", after),
                             (f"{wanted}<={{same}}+{{after}}+{{before}}", before)), "0")


def _row_of(place: str) -> str:
    key = f"SMALL(live_ahead_foster,{place})"
    return f"IF({place}=0,0,{key}-INT({key}/{_FEWER})*{_FEWER})"


PAIRS = LiveSheet("pairs", (
    LiveColumn("key", 'IF({k}>live_ahead_big,"",SMALL(live_ahead_key,{k}))'),
    LiveColumn("night", f'IF({{key}}="",{NO_DUE},INT(({{key}}-{Why.BIG_LITTER * _WHY})/{_DAY}))'),
    LiveColumn("day", f'IF({{night}}={NO_DUE},"",{{night}})'),
    LiveColumn("four", f'IF({{day}}="",0,IF({{key}}-{Why.BIG_LITTER * _WHY}-{{night}}*{_DAY}<{_FEWER},1,0))'),
    *(LiveColumn(_id("big", nights), _big_before(nights)) for nights in range(-2, 3)),
    *(LiveColumn(_id("fours", nights), _big_before(nights, fours=True)) for nights in range(-2, 2)),
    *(LiveColumn(_id("singles", nights), f'IF({{day}}="",0,COUNTIF(live_ahead_foster,"<"&({{day}}{nights:+})*{_FEWER}))')
      for nights in range(-2, 3)),
    LiveColumn("same", f"MIN({_places(0)},{_singles(0)})"),
    LiveColumn("after", f"MIN({_places(0)}-{{same}},{_left(_singles(1), _places(1))})"),
    LiveColumn("taken", f"MIN({_left(_places(-2), _singles(-2))},{_left(_singles(-1), _places(-1))})"),
    LiveColumn("before", f"MIN({_places(0)}-{{same}}-{{after}},{_left(_singles(-1), _places(-1))}-{{taken}})"),
    LiveColumn("of_night", f"{{k}}-{{{_id('big', 0)}}}"),
    LiveColumn("one", f'IF({{day}}="",0,{_single("{of_night}")})'),
    LiveColumn("two", f"IF({{four}}=0,0,{_single('({of_night}+{' + _id('big', 1) + '}-{' + _id('big', 0) + '})')})"),
    LiveColumn("first", _row_of("{one}")),
    LiveColumn("second", _row_of("{two}")),
), rows=_BIG_ROWS)


def _listed(then: str) -> str:
    return f'IF({{key}}="","",{then})'


def _named(single: str) -> str:
    at = f"INDEX(live_pairs_{single},{{k}})"
    return f'IF({at}=0,"",", "&INDEX(live_ewes_name,{at})&" due "&{day_words(f"INDEX(live_plan_near,{at})")})'


_NO_SINGLE = (f'IF(INDEX(live_pairs_night,{{k}})={NO_DUE},"no due day of her own: none to name",'
              '"no single due those nights")')
_SINGLES = f'IF(INDEX(live_pairs_first,{{k}})=0,{_NO_SINGLE},"single "&MID({_named("first")}&{_named("second")},3,99))'
_OF_WHY = "INDEX(live_ahead_why,{at})"


def _told(place: int, of_big: str) -> str:
    return first_that_holds(
        ((f"{_OF_WHY}={why}", of_big if why is Why.BIG_LITTER else f'"{told[place]}"') for why, told in TOLD.items()
         if why is not Why.FIRST), f'"{TOLD[Why.FIRST][place]}"')


_RANK = first_that_holds((
    ("{k}<=live_ahead_big_shown", "{k}+0"),
    ("{k}<=live_ahead_big_shown+live_ahead_warned_shown", "live_ahead_big+{k}-live_ahead_big_shown"),
    ("{k}<=live_ahead_big_shown+live_ahead_warned_shown+live_ahead_first_shown",
     "live_ahead_to_warned+{k}-live_ahead_big_shown-live_ahead_warned_shown")), "0")

FORESEEN = LiveSheet("foreseen", (
    LiveColumn("key", f'IF({_RANK}=0,"",SMALL(live_ahead_key,{_RANK}))'),
    LiveColumn("at", _listed(f"{{key}}-INT({{key}}/{_FEWER})*{_FEWER}")),
    LiveColumn("why", _listed(_told(0, f'"{TOLD[Why.BIG_LITTER][0]}"')), "Ewe to plan for", width=31),
    LiveColumn("ewe", _listed(f'HYPERLINK("#{EWES_SHEET.title}!A"&(ROW(INDEX(ewes_all,1,1))+{{at}}-1),'
                              "INDEX(live_ewes_name,{at}))"), "Ewe", width=9, style=linked(STRONG)),
    LiveColumn("scanned", _listed("INDEX(live_plan_scanned,{at})"), "Scanned", width=12, style=_CENTRED),
    LiveColumn("due", _listed("INDEX(live_plan_dated,{at})"), "Due", width=13, style=DATE),
    LiveColumn("what", _listed(_told(1, _SINGLES)), "To plan", width=45, ewes_named=2),
    LiveColumn("warning", _listed("INDEX(live_ahead_warning,{at})"), "Last year's warning", width=24),
    LiveColumn("condition", _listed("INDEX(live_plan_condition,{at})"), "Condition, last look", width=14, style=_SCORE),
    LiveColumn("mark", _listed('TRIM(INDEX(ewes_mark,{at})&"")'), "Mark", width=10, style=_CENTRED),
), rows=sum(rows for _, rows in SECTIONS))


def _counted(part: str, words: str) -> str:
    shown = f'IF(live_ahead_{part}>live_ahead_{part}_shown," ("&live_ahead_{part}_shown&" shown)","")'
    return f'IF(live_ahead_{part}=0,"",", "&live_ahead_{part}&"{words}"&{shown})'


_COUNTS = "&".join((_counted("big", " with three lambs or more"), _counted("warned", " warned of"),
                    _counted("first", " lambing for the first time")))
AHEAD_HEAD = LiveCell("ahead_head", f'IF(live_ahead_to_first=0,"","Ewes to plan for: "&MID({_COUNTS},3,250)'
                                    '&IF(COUNT(live_ahead_foster)*live_ahead_big=0,".",'
                                    '". Each single is named once, one with a warning never."))')
