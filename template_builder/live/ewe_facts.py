"""The hidden block of ewes, its first half: what is written of each, and what is known of her by it."""

from template_builder.layout import alerts
from template_builder.layout.choices import Choice, Colostrum, EweLeft, LambingTrouble, NextDay, Prolapse, Teats, YesNo
from template_builder.layout.columns import Kind
from template_builder.layout.setting_on import BAD_TEATS
from template_builder.layout.sheets.lambing import LAMBED, LAMBING
from template_builder.layout.sides import BOTH_SIDES
from template_builder.live.columns import LiveCell, LiveColumn, place
from template_builder.live.formulas import (
    EWE,
    MINUTES,
    NO_MINUTE,
    code,
    earliest,
    key_minute,
    key_row,
    latest,
    latest_until,
    matched,
    minute,
    number,
    packed,
    said,
    text,
    unreadable,
    very_thin,
)
from template_builder.live.laid import ON_LAMBING, ON_LAMBS, row_of_hers, summed
from template_builder.live.row_links import any_of, there

BIG_LITTER = 3


def if_ewe(then: str, otherwise: str = '""') -> str:
    return f"IF({{first}}=0,{otherwise},{then})"


def _on_ewes(id: str) -> LiveColumn:
    return LiveColumn(id, if_ewe(number(f"ewes_{id}")))


def _on_lambing(id: str, column: str = "") -> LiveColumn:
    return LiveColumn(id, f'IF({{at}}=0,"",{number(f"lambing_{column or id}", "{at}")})')


def _coded(id: str, choices: type[Choice]) -> LiveColumn:
    return LiveColumn(id, f"IF({{at}}=0,0,{code(f'lambing_{id}', choices, '{at}')})")


def _filled(id: str) -> str:
    """Whether a column of Lambing holds anything: a word is a number here, 0 where it is blank."""
    blank = "0" if LAMBING.column(id).kind is Kind.CHOICE else '""'
    return f"{{{id}}}<>{blank}"


_LAMBED = f"OR({','.join(map(_filled, LAMBED))})"
_ALL_WELL = f"{{all_well}}={place(YesNo.YES)}"


def _word(word: LambingTrouble) -> str:
    """Whether the one word under Trouble is this one."""
    return f"{{trouble}}={place(word)}"


_OF_HER_MILK = (LambingTrouble.NO_MILK, LambingTrouble.BAD_UDDER)  # then "all well" says nothing of sides in milk
TOLD_BAD_UDDER = _word(LambingTrouble.BAD_UDDER)

READ = (
    ON_LAMBING, ON_LAMBS,
    LiveColumn("name", there("ewes_ewe", f'IF({text("ewes_ewe")}="?","",{text("ewes_ewe")})')),
    LiveColumn("first", f'IF({{name}}="",0,IF({matched("{name}", "live_ewes_name")}={{k}},1,0))'),
    LiveColumn("at", if_ewe(row_of_hers(), "0")),
    LiveColumn("group", if_ewe('IF(INDEX(ewes_group,{k})="",0,IFERROR(MATCH(' + text("ewes_group") + ",live_groups_name,0),0))",
                                "0")),
    # The group she was turned out to, -1 where Groups does not have it; 0 while she runs with her own.
    LiveColumn("out_to", 'IF({at}=0,0,IF(OR(TRIM(INDEX(lambing_turned_out_to,{at})&"")="",'
                         'TRIM(INDEX(lambing_turned_out_to,{at})&"")="?"),0,'
                         f'IFERROR(MATCH({text("lambing_turned_out_to", "{at}")},live_groups_name,0),-1)))'),
    *(_on_ewes(id) for id in ("scanned", "due", "mated_on", "left_on")),
    *(_on_lambing(id) for id in ("lambed_on", "finished")),
    _on_lambing("waters", "waters_seen"),
    *(_on_lambing(id) for id in ("born_alive", "born_dead")),
    *(_on_lambing(id) for id in ("mothering", "condition")),
    _on_lambing("sides", "sides_in_milk"),
    _on_lambing("sides_next", "sides_next_day"),
    LiveColumn("left_how", if_ewe(code("ewes_left_how", EweLeft), "0")),
    _coded("all_well", YesNo), _coded("teats", Teats), _coded("prolapse", Prolapse), _coded("next_day", NextDay),
    _coded("colostrum", Colostrum), _coded("trouble", LambingTrouble), _coded("afterbirth", YesNo),
)

def _by_a_lamb(id: str, flag: int, unlooked: str = "") -> LiveColumn:
    """The key of the freshest of her lambs this is said of: her own since she lambed, others since they were set on to her."""
    own = f"IF(AND({packed('{flags}', flag)}>0,{{lambed_minute}}<={{dated}}{unlooked}),{{k}}*{EWE}+{{lambed_minute}},0)"
    return LiveColumn(id, f"IF({{flagged}}=0,0,MAX({own},{latest_until(f'live_lambs_{id}_key', '{dated}')}))")


LAMBS = (
    LiveColumn("borne", if_ewe(summed("bearer", "borne"), "0")),
    LiveColumn("reared", if_ewe(summed("rearer", "reared"), "0")),
    LiveColumn("borne_too", f"IF({{borne}}=0,0,{summed('bearer', 'borne_too')})"),
    LiveColumn("rows", packed("{borne}", 0)),
    LiveColumn("lambs", "IF({rows}>0,{rows},N({born_alive})+N({born_dead}))"),
    LiveColumn("born", f"IF({{rows}}>0,{packed('{borne}', 1)},{{lambs}})"),
    LiveColumn("aborted_lambs", packed("{borne}", 2)),
    LiveColumn("alive_here", f"IF({{rows}}>0,{packed('{borne}', 3)},N({{born_alive}}))"),
    LiveColumn("unnamed", "IF({rows}>0,0,N({born_alive}))"),
    LiveColumn("unnamed_dead", "IF({rows}>0,0,N({born_dead}))"),
    LiveColumn("at_side", f"{packed('{reared}', 0)}+{{unnamed}}"),
    LiveColumn("flagged", packed("{reared}", 1)),
    LiveColumn("flags", f"IF({{flagged}}=0,0,{summed('rearer', 'flags')})"),
    _by_a_lamb("hollow", 0), _by_a_lamb("unsucked", 1, ",{next_written}=0"), _by_a_lamb("refused", 2, ",{next_written}=0"),
)


ABORTED_LOOKS = LiveCell("aborted_looks", "COUNT(live_checks_aborted_key)")


def _looked(id: str, keys: str, noted: int | None, lambing: str = "") -> LiveColumn:
    """The key of a look, sought only where a check of hers says what is counted at this pair of `noted`, or Lambing does."""
    noted_here = "{checks}=0" if noted is None else f"{packed('{noted}', noted)}=0"
    nothing = f"OR({{checks}}=0,AND({noted_here},NOT({lambing})))" if lambing else noted_here
    return LiveColumn(id, f"IF({nothing},0,{latest(f'live_checks_{keys}_key')})")


_BAD, _TROUBLE, _LAME, _THIN, _TEATS, _UDDER = range(6)  # what the checks of a ewe note
_GIVEN, _UNREAD, FOR_LAMENESS, FOR_MASTITIS = range(4)  # and her treatments

CHECKS = (
    # By her number alone: what is written of a look then moves only what is asked of looks like it.
    LiveColumn("checks", if_ewe("COUNTIF(live_checks_ewe,{k}+0)", "0")),
    LiveColumn("noted", "IF({checks}=0,0,SUMIF(live_checks_ewe,{k},live_checks_noted))"),
    _looked("look", "look", None),
    _looked("milk_look", "milk", None),
    _looked("teats_look", "teats", _TEATS, lambing=f"OR({any_of('{teats}', BAD_TEATS)},{TOLD_BAD_UDDER})"),
    _looked("condition_look", "condition", _THIN, lambing=very_thin("{condition}")),
    _looked("udder_look", "udder", _UDDER, lambing=TOLD_BAD_UDDER),
    _looked("feet_look", "feet", _LAME),
    _looked("trouble_look", "trouble", _TROUBLE),
    *(_looked(f"{id}_look", id, _TROUBLE) for id in ("mastitis", "sleepy", "prolapse", "thin")),
    # Not by what is noted of her: whether she has lambed hangs on it, and much on that. Few flocks have one to look for.
    LiveColumn("aborted_look", f"IF({{checks}}=0,0,IF(live_aborted_looks=0,0,{earliest('live_checks_aborted_key')}))"),
    LiveColumn("given", if_ewe("SUMIF(live_treatments_ewe,{k},live_treatments_noted)", "0")),
    LiveColumn("treated", packed("{given}", _GIVEN)),
    LiveColumn("bad", if_ewe(
        f"IF({unreadable('{scanned}:{sides_next}')}+COUNTIF({{left_how}}:{{afterbirth}},-1)+{packed('{borne}', 5)}"
        f"+IF(AND({{born}}>={BIG_LITTER},{{next_looked}}=0),{packed('{borne}', 6)},0)"  # small or not, nobody can tell
        f"+{packed('{noted}', _BAD)}+{packed('{given}', _UNREAD)}"
        "+IF({group}=0,0,INDEX(live_groups_bad,{group}))>0,1,0)", "0")),
)


def since_look(look: str, otherwise: str = "{lambed_minute}") -> str:
    """The minute of a look; that of her lambing where there was none or it bears no date."""
    return f"IF(IF({look}>0,{key_minute(look)}<{NO_MINUTE},FALSE),{key_minute(look)},{otherwise})"


def look_that_counts(look: str, at_lambing: str) -> str:
    """A look if it counts: one before the day she lambed does not stand against what Lambing says."""
    before = f"IF(ISNUMBER({{lambed_on}}),{key_minute(look)}<INT({{lambed_on}})*{MINUTES},FALSE)"
    return f"IF({look}=0,0,IF(AND({at_lambing},{before}),0,{look}))"


def count_of(pair: int) -> str:
    """Of her lambs: mummified, decayed, born alive, weak, refused, taken for want of milk, of those alive how she took known."""
    return packed("{borne_too}", pair)


_EARLY = ("IF(AND(ISNUMBER({mated_on}),ISNUMBER({lambed_on})),INT(INT({mated_on})+live_gestation)-INT({lambed_on})"
          f">={alerts.EARLY_BY.days},FALSE)")

_ABORTED = f"OR({{aborted_lambs}}>0,{{aborted_look}}>0,{_word(LambingTrouble.ABORTED)})"
TOLD_NO_MILK = f"AND({_word(LambingTrouble.NO_MILK)},{{colostrum}}=0)"
NO_COLOSTRUM = f"{{colostrum}}={place(Colostrum.NONE)},{TOLD_NO_MILK}"

KNOWN = (
    # Told in one word: a prolapse of no kind; that she refused a lamb, where the rows of those born alive say neither which,
    # nor of each that she took it.
    LiveColumn("told_prolapse", f"IF(AND({_word(LambingTrouble.PROLAPSE)},NOT({said('{prolapse}', Prolapse)})),1,0)"),
    LiveColumn("told_refused", f"IF(AND({_word(LambingTrouble.REFUSED)},{count_of(4)}=0,"
                               f"OR({count_of(2)}=0,{count_of(6)}<{count_of(2)})),1,0)"),
    LiveColumn("gone", if_ewe('IF(OR({left_on}<>"",{left_how}<>0),1,0)', "0")),
    LiveColumn("crowd", "IF({gone}=1,-1,{at_side})"),
    LiveColumn("lambed_at", 'IF(N({finished})>=1,{finished},IF(ISNUMBER({lambed_on}),INT({lambed_on})+N({finished}),""))'),
    LiveColumn("lambed_minute", minute("{lambed_at}")),
    # A time without a day is the last such time before now.
    LiveColumn("waters_minute", f"IF(ISNUMBER({{waters}}),ROUND(IF({{waters}}>=1,{{waters}},"
               f"INT(live_now)+{{waters}}-IF(INT(live_now)+{{waters}}>live_now,1,0))*{MINUTES},0),{NO_MINUTE})"),
    LiveColumn("aborted", f"IF(AND({{born}}=0,{_ABORTED}),1,0)"),
    LiveColumn("lambed", f"IF(OR({{born}}>0,AND({{at}}>0,{{aborted}}=0,{_LAMBED})),1,0)"),
    LiveColumn("ram_out", 'IF({group}=0,"",INDEX(live_groups_ram_out,{group}))'),
    LiveColumn("last_day", if_ewe(
        "IF(ISNUMBER({mated_on}),INT(INT({mated_on})+live_gestation_most),IF(ISNUMBER({ram_out}),"
        "INT(INT({ram_out})+live_gestation_most),"
        'IF(ISNUMBER({due}),INT(INT({due})+live_gestation_most-live_gestation),"")))')),
    LiveColumn("watched", if_ewe("IF(OR({gone}=1,IF({group}=0,0,INDEX(live_groups_counted,{group}))=1),0,1)", "0")),
    LiveColumn("seen_at", f"IF({{look}}=0,0,{key_minute('{look}')})"),
    LiveColumn("next_written", 'IF(OR({next_day}<>0,{sides_next}<>""),1,0)'),
    LiveColumn("next_looked", "IF(OR({next_written}=1," + packed("{borne}", 4) + ">0),1,0)"),
    LiveColumn("looked", "IF(OR({next_looked}=1,IF(ISNUMBER({lambed_on}),"
                         f"{{seen_at}}>INT({{lambed_on}})*{MINUTES},FALSE)),1,0)"),
    # The minute her lambs were weaned, where it has come. What was seen before it, or before the last look, is answered.
    LiveColumn("weaning", 'IF(OR({out_to}<0,{out_to}+{group}=0),"",INDEX(live_groups_weaning,IF({out_to}>0,{out_to},{group})))'),
    LiveColumn("weaned", f"IF(ISNUMBER({{weaning}}),IF(INT({{weaning}})<=INT(live_now),INT({{weaning}})*{MINUTES},0),0)"),
    LiveColumn("dated", f"IF({{weaned}}>0,{NO_MINUTE - 1},{NO_MINUTE})"),
    LiveColumn("last_sides", f"IF({{milk_look}}>0,INDEX(live_checks_sides,{key_row('{milk_look}')}),IF(ISNUMBER({{sides_next}}),"
                             f"{{sides_next}},IF(ISNUMBER({{sides}}),{{sides}},"
                             f'IF(AND({{sides}}="",{_ALL_WELL},NOT({any_of("{trouble}", _OF_HER_MILK)})),{BOTH_SIDES},""))))'),
    LiveColumn("own_teats", f"IF({said('{teats}', Teats)},{{teats}},"
               f"IF(AND({{teats}}=0,{_ALL_WELL},NOT({TOLD_BAD_UDDER})),{place(Teats.SOUND)},0))"),
    LiveColumn("teats_from", look_that_counts("{teats_look}", "{own_teats}>0")),
    LiveColumn("last_teats", f"IF({{teats_from}}>0,INDEX(live_checks_teats,{key_row('{teats_from}')}),{{own_teats}})"),
    LiveColumn("condition_from", look_that_counts("{condition_look}", "ISNUMBER({condition})")),
    LiveColumn("last_condition", f"IF({{condition_from}}>0,INDEX(live_checks_condition,{key_row('{condition_from}')}),"
                                 "{condition})"),
    LiveColumn("last_feet", f"IF({{feet_look}}=0,0,INDEX(live_checks_feet,{key_row('{feet_look}')}))"),
    LiveColumn("last_udder", f"IF({{udder_look}}=0,0,INDEX(live_checks_udder,{key_row('{udder_look}')}))"),
    LiveColumn("certain", if_ewe(f"IF({_ABORTED},1,0)", "0")),
    LiveColumn("suspected", f"IF(OR({{first}}=0,{{certain}}=1),0,IF(OR({count_of(0)}>0,AND({count_of(1)}>0,{count_of(2)}=0),"
                            f"AND({_EARLY},IF({{rows}}>0,OR({{rows}}>{count_of(2)},{count_of(3)}>0),{{unnamed_dead}}>0))),1,0))"),
)
