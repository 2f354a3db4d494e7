"""The hidden block of ewes: what is known of each now, every alert as a number, and her place in the lists."""

from collections.abc import Callable, Iterator

from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS, Alert
from template_builder.layout.choices import Choice, Colostrum, EweLeft, Feet, LambingTrouble, NextDay, Prolapse, Teats, YesNo
from template_builder.layout.columns import Kind
from template_builder.layout.illnesses import EWES as ILLNESSES
from template_builder.layout.setting_on import BAD_TEATS, BAD_UDDER, LOST_INTEREST
from template_builder.layout.sheets.lambing import LAMBED, LAMBING
from template_builder.layout.sides import A_SIDE_DRY, BOTH_IN_MILK, BOTH_SIDES
from template_builder.live.cases import case_key, fell_ill, illness_of
from template_builder.live.columns import LiveColumn, LiveSheet, place
from template_builder.live.formulas import (
    DAY,
    EWE,
    FIRST,
    LATER,
    MINUTES,
    NO_MINUTE,
    code,
    day_minute,
    earliest,
    key_minute,
    key_row,
    latest,
    latest_until,
    matched,
    minute,
    number,
    packed,
    rank,
    said,
    text,
)
from template_builder.live.laid import ON_LAMBING, ON_LAMBS, row_of_hers, summed
from template_builder.live.lamb_block import MOST_LAMBS, SET_ON_DAYS, ranked
from template_builder.live.row_links import any_of, there

BIG_LITTER = 3


def _if_ewe(then: str, otherwise: str = '""') -> str:
    return f"IF({{first}}=0,{otherwise},{then})"


def _on_ewes(id: str) -> LiveColumn:
    return LiveColumn(id, _if_ewe(number(f"ewes_{id}")))


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
_BAD_UDDER = _word(LambingTrouble.BAD_UDDER)

READ = (
    ON_LAMBING, ON_LAMBS,
    LiveColumn("name", there("ewes_ewe", f'IF({text("ewes_ewe")}="?","",{text("ewes_ewe")})')),
    LiveColumn("first", f'IF({{name}}="",0,IF({matched("{name}", "live_ewes_name")}={{k}},1,0))'),
    LiveColumn("at", _if_ewe(row_of_hers(), "0")),
    LiveColumn("group", _if_ewe('IF(INDEX(ewes_group,{k})="",0,IFERROR(MATCH(' + text("ewes_group") + ",live_groups_name,0),0))",
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
    LiveColumn("left_how", _if_ewe(code("ewes_left_how", EweLeft), "0")),
    _coded("all_well", YesNo), _coded("teats", Teats), _coded("prolapse", Prolapse), _coded("next_day", NextDay),
    _coded("colostrum", Colostrum), _coded("trouble", LambingTrouble), _coded("afterbirth", YesNo),
)

def _by_a_lamb(id: str, flag: int, unlooked: str = "") -> LiveColumn:
    """The key of the freshest of her lambs this is said of: her own since she lambed, others since they were set on to her."""
    own = f"IF(AND({packed('{flags}', flag)}>0,{{lambed_minute}}<={{dated}}{unlooked}),{{k}}*{EWE}+{{lambed_minute}},0)"
    return LiveColumn(id, f"IF({{flagged}}=0,0,MAX({own},{latest_until(f'live_lambs_{id}_key', '{dated}')}))")


LAMBS = (
    LiveColumn("borne", _if_ewe(summed("bearer", "borne"), "0")),
    LiveColumn("reared", _if_ewe(summed("rearer", "reared"), "0")),
    LiveColumn("borne_too", f"IF({{borne}}=0,0,{summed('bearer', 'borne_too')})"),
    LiveColumn("rows", packed("{borne}", 0)),
    LiveColumn("lambs", "IF({rows}>0,{rows},N({born_alive})+N({born_dead}))"),
    LiveColumn("born", f"IF({{rows}}>0,{packed('{borne}', 1)},{{lambs}})"),
    LiveColumn("aborted_lambs", packed("{borne}", 2)),
    LiveColumn("alive_here", f"IF({{rows}}>0,{packed('{borne}', 3)},N({{born_alive}}))"),
    LiveColumn("bellies", packed("{borne}", 4)),
    LiveColumn("unnamed", "IF({rows}>0,0,N({born_alive}))"),
    LiveColumn("unnamed_dead", "IF({rows}>0,0,N({born_dead}))"),
    LiveColumn("at_side", f"{packed('{reared}', 0)}+{{unnamed}}"),
    LiveColumn("flagged", packed("{reared}", 1)),
    LiveColumn("flags", f"IF({{flagged}}=0,0,{summed('rearer', 'flags')})"),
    _by_a_lamb("hollow", 0), _by_a_lamb("unsucked", 1, ",{next_written}=0"), _by_a_lamb("refused", 2, ",{next_written}=0"),
)


def _looked(id: str, keys: str, noted: int, found: Callable[[str], str] = latest, lambing: str = "") -> LiveColumn:
    """The key of a look, sought only where a check of hers says what is counted at this pair of `noted`, or Lambing does."""
    noted_here = f"{packed('{noted}', noted)}=0"
    nothing = f"OR({{checks}}=0,AND({noted_here},NOT({lambing})))" if lambing else noted_here
    return LiveColumn(id, f"IF({nothing},0,{found(f'live_checks_{keys}_key')})")


_ROWS, _BAD, _TROUBLE, _LAME, _THIN, _TEATS, _UDDER = range(7)  # what the checks of a ewe note
_GIVEN, _UNREAD, _FOR_LAMENESS, _FOR_MASTITIS = range(4)  # and her treatments
_VERY_THIN = f"IF(ISNUMBER({{condition}}),{{condition}}<{alerts.VERY_THIN_BELOW},FALSE)"

CHECKS = (
    LiveColumn("noted", _if_ewe("SUMIF(live_checks_ewe,{k},live_checks_noted)", "0")),
    LiveColumn("checks", packed("{noted}", _ROWS)),
    _looked("look", "look", _ROWS),
    _looked("milk_look", "milk", _ROWS),
    _looked("teats_look", "teats", _TEATS, lambing=f"OR({any_of('{teats}', BAD_TEATS)},{_BAD_UDDER})"),
    _looked("condition_look", "condition", _THIN, lambing=_VERY_THIN),
    _looked("udder_look", "udder", _UDDER, lambing=_BAD_UDDER),
    _looked("feet_look", "feet", _LAME),
    _looked("trouble_look", "trouble", _TROUBLE),
    *(_looked(f"{id}_look", id, _TROUBLE) for id in ("mastitis", "sleepy", "prolapse", "thin")),
    _looked("aborted_look", "aborted", _TROUBLE, earliest),
    LiveColumn("given", _if_ewe("SUMIF(live_treatments_ewe,{k},live_treatments_noted)", "0")),
    LiveColumn("treated", packed("{given}", _GIVEN)),
    LiveColumn("bad", _if_ewe(
        'IF(SUMPRODUCT(NOT(ISNUMBER({scanned}:{sides_next}))*({scanned}:{sides_next}<>"")*({scanned}:{sides_next}<>"?"))'
        f"+COUNTIF({{left_how}}:{{afterbirth}},-1)+{packed('{borne}', 5)}"
        f"+IF(AND({{born}}>={BIG_LITTER},{{next_looked}}=0),{packed('{borne}', 6)},0)"  # small or not, nobody can tell
        f"+{packed('{noted}', _BAD)}+{packed('{given}', _UNREAD)}"
        "+IF({group}=0,0,INDEX(live_groups_bad,{group}))>0,1,0)", "0")),
)


def _since_look(look: str) -> str:
    """The minute of a look; that of her lambing where there was none or it bears no date."""
    return f"IF(IF({look}>0,{key_minute(look)}<{NO_MINUTE},FALSE),{key_minute(look)},{{lambed_minute}})"


def _counts(look: str, at_lambing: str) -> str:
    """A look if it counts: one before the day she lambed does not stand against what Lambing says."""
    before = f"IF(ISNUMBER({{lambed_on}}),{key_minute(look)}<INT({{lambed_on}})*{MINUTES},FALSE)"
    return f"IF({look}=0,0,IF(AND({at_lambing},{before}),0,{look}))"


def _count_of(pair: int) -> str:
    """Of her lambs: mummified, decayed, born alive, weak, refused, taken for want of milk, of those alive how she took known."""
    return packed("{borne_too}", pair)


_EARLY = ("IF(AND(ISNUMBER({mated_on}),ISNUMBER({lambed_on})),INT(INT({mated_on})+live_gestation)-INT({lambed_on})"
          f">={alerts.EARLY_BY.days},FALSE)")

_ABORTED = f"OR({{aborted_lambs}}>0,{{aborted_look}}>0,{_word(LambingTrouble.ABORTED)})"
_NO_MILK = f"AND({_word(LambingTrouble.NO_MILK)},{{colostrum}}=0)"
_NO_COLOSTRUM = f"{{colostrum}}={place(Colostrum.NONE)},{_NO_MILK}"

KNOWN = (
    # Told in one word: a prolapse of no kind; that she refused a lamb, where the rows of those born alive say neither which,
    # nor of each that she took it.
    LiveColumn("told_prolapse", f"IF(AND({_word(LambingTrouble.PROLAPSE)},NOT({said('{prolapse}', Prolapse)})),1,0)"),
    LiveColumn("told_refused", f"IF(AND({_word(LambingTrouble.REFUSED)},{_count_of(4)}=0,"
                               f"OR({_count_of(2)}=0,{_count_of(6)}<{_count_of(2)})),1,0)"),
    LiveColumn("gone", _if_ewe('IF(OR({left_on}<>"",{left_how}<>0),1,0)', "0")),
    LiveColumn("crowd", "IF({gone}=1,-1,{at_side})"),
    LiveColumn("lambed_at", 'IF(N({finished})>=1,{finished},IF(ISNUMBER({lambed_on}),INT({lambed_on})+N({finished}),""))'),
    LiveColumn("lambed_minute", minute("{lambed_at}")),
    # A time without a day is the last such time before now.
    LiveColumn("waters_at", 'IF(ISNUMBER({waters}),IF({waters}>=1,{waters},'
                            'INT(live_now)+{waters}-IF(INT(live_now)+{waters}>live_now,1,0)),"")'),
    LiveColumn("waters_minute", minute("{waters_at}")),
    LiveColumn("aborted", f"IF(AND({{born}}=0,{_ABORTED}),1,0)"),
    LiveColumn("lambed", f"IF(OR({{born}}>0,AND({{at}}>0,{{aborted}}=0,{_LAMBED})),1,0)"),
    LiveColumn("ram_out", 'IF({group}=0,"",INDEX(live_groups_ram_out,{group}))'),
    LiveColumn("last_day", _if_ewe(
        "IF(ISNUMBER({mated_on}),INT(INT({mated_on})+live_gestation_most),IF(ISNUMBER({ram_out}),"
        "INT(INT({ram_out})+live_gestation_most),"
        'IF(ISNUMBER({due}),INT(INT({due})+live_gestation_most-live_gestation),"")))')),
    LiveColumn("watched", _if_ewe("IF(OR({gone}=1,IF({group}=0,0,INDEX(live_groups_counted,{group}))=1),0,1)", "0")),
    LiveColumn("seen_at", f"IF({{look}}=0,0,{key_minute('{look}')})"),
    LiveColumn("next_written", 'IF(OR({next_day}<>0,{sides_next}<>""),1,0)'),
    LiveColumn("next_looked", "IF(OR({next_written}=1,{bellies}>0),1,0)"),
    LiveColumn("looked", "IF(OR({next_looked}=1,IF(ISNUMBER({lambed_on}),"
                         f"{{seen_at}}>INT({{lambed_on}})*{MINUTES},FALSE)),1,0)"),
    # The minute her lambs were weaned, where it has come. What was seen before it, or before the last look, is answered.
    LiveColumn("weaning", 'IF(OR({out_to}<0,{out_to}+{group}=0),"",INDEX(live_groups_weaning,IF({out_to}>0,{out_to},{group})))'),
    LiveColumn("weaned", f"IF(ISNUMBER({{weaning}}),IF(INT({{weaning}})<=INT(live_now),INT({{weaning}})*{MINUTES},0),0)"),
    LiveColumn("shut", "MAX({weaned},{seen_at})"),
    LiveColumn("shut_next", f"MAX({{weaned}},{{seen_at}}-{MINUTES})"),
    LiveColumn("dated", f"IF({{weaned}}>0,{NO_MINUTE - 1},{NO_MINUTE})"),
    LiveColumn("last_sides", f"IF({{milk_look}}>0,INDEX(live_checks_sides,{key_row('{milk_look}')}),IF(ISNUMBER({{sides_next}}),"
                             f"{{sides_next}},IF(ISNUMBER({{sides}}),{{sides}},"
                             f'IF(AND({{sides}}="",{_ALL_WELL},NOT({any_of("{trouble}", _OF_HER_MILK)})),{BOTH_SIDES},""))))'),
    LiveColumn("sides_since", _since_look("{milk_look}")),
    LiveColumn("own_teats", f"IF({said('{teats}', Teats)},{{teats}},"
               f"IF(AND({{teats}}=0,{_ALL_WELL},NOT({_BAD_UDDER})),{place(Teats.SOUND)},0))"),
    LiveColumn("teats_from", _counts("{teats_look}", "{own_teats}>0")),
    LiveColumn("last_teats", f"IF({{teats_from}}>0,INDEX(live_checks_teats,{key_row('{teats_from}')}),{{own_teats}})"),
    LiveColumn("teats_since", _since_look("{teats_from}")),
    LiveColumn("condition_from", _counts("{condition_look}", "ISNUMBER({condition})")),
    LiveColumn("last_condition", f"IF({{condition_from}}>0,INDEX(live_checks_condition,{key_row('{condition_from}')}),"
                                 "{condition})"),
    LiveColumn("last_feet", f"IF({{feet_look}}=0,0,INDEX(live_checks_feet,{key_row('{feet_look}')}))"),
    LiveColumn("last_udder", f"IF({{udder_look}}=0,0,INDEX(live_checks_udder,{key_row('{udder_look}')}))"),
    LiveColumn("certain", _if_ewe(f"IF({_ABORTED},1,0)", "0")),
    LiveColumn("suspected", f"IF(OR({{first}}=0,{{certain}}=1),0,IF(OR({_count_of(0)}>0,AND({_count_of(1)}>0,{_count_of(2)}=0),"
                            f"AND({_EARLY},IF({{rows}}>0,OR({{rows}}>{_count_of(2)},{_count_of(3)}>0),{{unnamed_dead}}>0))),1,0))"),
)


def _here(condition: str) -> str:
    return f"AND({{first}}=1,{{gone}}=0,{condition})"


def _watched(condition: str) -> str:
    return f"AND({{watched}}=1,{condition})"


def raised_id(alert: Alert) -> str:
    """The column that says whether she has this alert."""
    return f"alert_{alert.id}"


def _still(alert: Alert, since: str, shut: str) -> str:
    """The alert as a number where neither a look nor weaning came after it, else 0."""
    return f"IF(AND({since}>={shut},{since}<={{dated}}),{ranked(alert, since)},0)"


def _raised(alert: Alert, condition: str, since: str, shut: str = "{shut}") -> LiveColumn:
    """0, or which alert and since which minute; reckoned only where it is so and neither a look nor weaning came after it."""
    return LiveColumn(raised_id(alert), f"IF({condition},{_still(alert, since, shut)},0)")


def _by_lamb(alert: Alert, key: str, shut: str = "{shut}", otherwise: str = "0") -> LiveColumn:
    """From her lambs: the freshest of those it concerns."""
    since = f"({key}-{{k}}*{EWE})"
    found = f"IF({since}>={shut},{ranked(alert, since)},0)"
    return LiveColumn(raised_id(alert), f"IF({{gone}}=1,0,IF({key}>0,{found},{otherwise}))")


def _by_key(alert: Alert, keys: str) -> LiveColumn:
    """From treatments: the earliest of them."""
    found = earliest(keys)
    ranked_since = f"{rank(alert, alert.urgency)}+{found}-{{k}}*{EWE}"
    return LiveColumn(raised_id(alert), f"IF(OR({{gone}}=1,{{treated}}=0),0,IF({found}>0,{ranked_since},0))")


def _treated_since(treated: str, minute: str) -> str:
    """Whether a treatment is of that day or later; what has no day comes last."""
    return f"IF({treated}=0,FALSE,{key_minute(treated)}>=INT({minute}/{MINUTES})*{MINUTES})"


_PROLAPSED = said("{prolapse}", Prolapse) + f",{{prolapse}}<>{place(Prolapse.NONE)}"
_ON_LAMBING = f"{{prolapse}}={place(Prolapse.VAGINAL)},{{told_prolapse}}=1"
_LABOUR = _watched("{at}>0,{lambed}=0,{aborted}=0,ISNUMBER({waters_at})")
_LONG = f"AND({_LABOUR},{{since_waters}}>=live_long_labour*60)"
_LAPSED = int(alerts.LABOUR_LAPSES.total_seconds()) // 60
_UNLOOKED = _watched('{at}>0,ISNUMBER({lambed_at}),{alive_here}>0,{looked}=0')
_LOOK_LAPSED = int(alerts.NEXT_LOOK_LAPSES.total_seconds()) // 60
_LITTER = _watched("{lambed}=1,N({scanned})>0,{lambs}>0,{next_looked}=0")
_FIRST_DAYS = f"{{next_looked}}=0,{{since_lambed}}<={int(alerts.FIRST_DAYS.total_seconds()) // 60}"
_HELD = int(alerts.AFTERBIRTH_HELD.total_seconds()) // 60
# What was so at lambing is answered by the next day's look too; what that look found, by one of a day later.
_SIDE_STILL = ("IF({milk_look}>0,{shut},IF(ISNUMBER({sides_next}),{shut_next},"
               f"IF({{next_looked}}=1,{NO_MINUTE}+1,{{shut}})))")
_TEATS_STILL = f"IF(AND({{teats_from}}=0,{{next_looked}}=1),{NO_MINUTE}+1,{{shut}})"

SINCE = (
    LiveColumn("since_waters", f"IF({{waters_minute}}={NO_MINUTE},0,live_minute-{{waters_minute}})"),
    LiveColumn("since_lambed", f"IF({{lambed_minute}}={NO_MINUTE},0,live_minute-{{lambed_minute}})"),
    # A prolapse written on Lambing, or seen again later.
    LiveColumn("prolapse_since", f"IF(IF({{prolapse_look}}>0,{key_minute('{prolapse_look}')}<{NO_MINUTE},FALSE),"
               f"IF({{lambed_minute}}<{NO_MINUTE},MAX({{lambed_minute}},{key_minute('{prolapse_look}')}),"
               f"{key_minute('{prolapse_look}')}),{{lambed_minute}})"),
    LiveColumn("aborted_since", f"IF(IF({{aborted_look}}>0,{key_minute('{aborted_look}')}<{NO_MINUTE},FALSE),"
               f"{key_minute('{aborted_look}')},{day_minute('{lambed_on}')})"),
    # Since when she aborted or may have, and how many did from then on until a week later, herself too.
    LiveColumn("lost_since", f'IF({{certain}}=1,{{aborted_since}},IF({{suspected}}=1,{day_minute("{lambed_on}")},""))'),
    LiveColumn("lost_close", f'IF(IF(ISNUMBER({{lost_since}}),{{lost_since}}<{NO_MINUTE},FALSE),'
                             f'COUNTIF(live_ewes_lost_since,">"&{{lost_since}}-1)-'
                             f'COUNTIF(live_ewes_lost_since,">"&{{lost_since}}+{alerts.ABORTIONS_CLOSE.days * MINUTES}),0)'),
    # One of her lambs, the freshest, or one told in a word, of which no look next day is written.
    LiveColumn("refused_since", f"MAX(IF({{refused}}-{{k}}*{EWE}<{{shut}},0,{{refused}}-{{k}}*{EWE}),"
               "IF(AND({told_refused}=1,{at_side}>0,"
               "{next_looked}=0,{lambed_minute}>={shut},{lambed_minute}<={dated}),{lambed_minute},0))"),
    LiveColumn("lame_since", f"IF({{last_feet}}={place(Feet.BADLY_LAME)},{_since_look('{feet_look}')},0)"),
    LiveColumn("lame_treated", f"IF(OR({{lame_since}}=0,{packed('{given}', _FOR_LAMENESS)}=0),0,"
                               f"{latest('live_treatments_lame_key')})"),
    # Thin by a look, or by her last condition: the later of both.
    LiveColumn("too_thin", f"IF(ISNUMBER({{last_condition}}),IF({{last_condition}}<{alerts.VERY_THIN_BELOW},1,0),0)"),
    LiveColumn("thin_since", f"MAX(IF({{thin_look}}>0,{key_minute('{thin_look}')},0),"
                             f"IF({{too_thin}}=1,{_since_look('{condition_from}')},0))"),
    LiveColumn("thin_treated", f"IF(OR({{thin_since}}=0,{{treated}}=0),0,{latest('live_treatments_key')})"),
)

_BAD_IN_A_WORD = (f"AND({_BAD_UDDER},OR({{teats}}={place(Teats.SOUND)},NOT({said('{teats}', Teats)})),"
                  f"{_counts('{udder_look}', 'TRUE')}=0,{_counts('{teats_look}', 'TRUE')}=0)")

_FORMULAS = (
    _raised(alerts.LONG_LABOUR, f"AND({_LONG},{{since_waters}}<={_LAPSED})", "{waters_minute}", "{weaned}"),
    _raised(alerts.WOMB_PROLAPSE, _here(f"{{prolapse}}={place(Prolapse.WOMB)}"), "{prolapse_since}"),
    _raised(alerts.PROLAPSE, _here(f"OR({_ON_LAMBING},AND(NOT(AND({_PROLAPSED})),{{prolapse_look}}>0))"),
            f"IF(OR({_ON_LAMBING}),{{prolapse_since}},{key_minute('{prolapse_look}')})"),
    _raised(alerts.ABORTED, _here("{certain}=1"), "{aborted_since}", "{weaned}"),
    _raised(alerts.ABORTION_SUSPECTED, _here("{suspected}=1"), day_minute("{lambed_on}"), "{weaned}"),
    _raised(alerts.MASTITIS, _here("{mastitis_look}>0"), key_minute("{mastitis_look}")),
    _raised(alerts.SLEEPY, _here("{sleepy_look}>0"), key_minute("{sleepy_look}")),
    _raised(alerts.IN_LABOUR, f"AND({_LABOUR},{{since_waters}}>=live_labour_look*60,{{since_waters}}<live_long_labour*60)",
            "{waters_minute}", "{weaned}"),
    LiveColumn(raised_id(alerts.ORPHANS), "IF(AND({first}=1,{gone}=1,{at_side}>0,{weaned}=0),"
               f"{ranked(alerts.ORPHANS, day_minute('{left_on}'))},0)"),
    _raised(alerts.LITTLE_COLOSTRUM, _here(f"OR({{colostrum}}={place(Colostrum.LITTLE)},{_NO_COLOSTRUM}),"
            f"OR({packed('{reared}', 2)}>0,AND({_NO_MILK},{{unnamed}}>0)),{_FIRST_DAYS}"), "{lambed_minute}"),
    _by_lamb(alerts.NOT_SUCKING, "{unsucked}"),
    _by_lamb(alerts.HOLLOW, "{hollow}", "{shut_next}",
             f"IF(AND({{next_day}}={place(NextDay.ONE_HOLLOW)},{packed('{reared}', 6)}=0),"
             f"{_still(alerts.HOLLOW, '{lambed_minute}', '{shut_next}')},0)"),
    LiveColumn(raised_id(alerts.REFUSED), f"IF(OR({{gone}}=1,{{refused_since}}=0),0,"
               f"{ranked(alerts.REFUSED, '{refused_since}')})"),
    _raised(alerts.TROUBLE, _here(f"{{next_day}}={place(NextDay.TROUBLE)}"), "{lambed_minute}", "{shut_next}"),
    _raised(alerts.NEXT_LOOK, f"AND({_UNLOOKED},{{since_lambed}}>=live_next_look*60,{{since_lambed}}<={_LOOK_LAPSED})",
            "{lambed_minute}"),
    _raised(alerts.HELPED_TO_SUCK, _here(f"{{next_day}}={place(NextDay.HELPED)}"), "{lambed_minute}", "{shut_next}"),
    _raised(alerts.AFTERBIRTH_HELD_BACK, _here(f"{{afterbirth}}={place(YesNo.NO)},OR({{lambed_minute}}={NO_MINUTE},"
            f"{{since_lambed}}>={_HELD})"), "{lambed_minute}", "{shut_next}"),
    _raised(alerts.SIDE_DRY, _here("{weaned}=0," + A_SIDE_DRY.formula("{last_sides}")), "{sides_since}", _SIDE_STILL),
    _raised(alerts.LARGE_TEATS, _here(f"{{weaned}}=0,{{last_teats}}={place(Teats.LARGE)},{{at_side}}>0"), "{teats_since}",
            _TEATS_STILL),
    _raised(alerts.BAD_UDDER, _here(f"{_BAD_IN_A_WORD},{{next_looked}}=0"), "{lambed_minute}"),
    _raised(alerts.SMALL_LAMBS, _here(f"{{born}}>={BIG_LITTER},{packed('{reared}', 3)}>0,{_FIRST_DAYS}"), "{lambed_minute}"),
    _raised(alerts.MISSING_LAMB, f"AND({_LITTER},{{lambs}}<N({{scanned}}))", "{lambed_minute}"),
    _raised(alerts.MORE_LAMBS, f"AND({_LITTER},{{lambs}}>N({{scanned}}))", "{lambed_minute}"),
    _raised(alerts.BADLY_LAME, _here("{lame_since}>0,NOT(" + _treated_since("{lame_treated}", key_minute("{feet_look}")) + ")"),
            "{lame_since}"),
    _raised(alerts.RECTAL_PROLAPSE, _here(f"{{prolapse}}={place(Prolapse.RECTAL)}"), "{prolapse_since}"),
    _raised(alerts.VERY_THIN, _here("{thin_since}>0,NOT(" + _treated_since("{thin_treated}", "{thin_since}") + ")"),
            "{thin_since}"),
    _raised(alerts.OVERDUE, _watched("N({scanned})>0,{lambed}=0,{aborted}=0,ISNUMBER({last_day}),INT(live_now)>N({last_day})"),
            day_minute("{last_day}"), "{weaned}"),
    _by_key(alerts.WITHDRAWAL, "live_treatments_running_key"),
    _raised(alerts.LABOUR_NOT_RECORDED, f"AND({_LONG},{{since_waters}}>{_LAPSED})", "{waters_minute}", "{weaned}"),
    _by_key(alerts.WITHDRAWAL_UNKNOWN, "live_treatments_unknown_key"),
)


def _in_order() -> Iterator[LiveColumn]:
    by_id = {column.id: column for column in _FORMULAS}
    yield from (by_id[raised_id(alert)] for alert in ALERTS)


_OPEN_LATE = f"IF({{trouble_look}}>0,{key_minute('{trouble_look}')}>={{seen_at}},FALSE)"
_ILL_NEXT_DAY = (f"AND({{next_day}}={place(NextDay.TROUBLE)},OR({{look}}=0,NOT(ISNUMBER({{lambed_on}})),"
                 f"{{seen_at}}-{MINUTES}<=INT(N({{lambed_on}}))*{MINUTES}))")

# Ewes never offered another ewe's lamb, reason by reason.
_NOT_FOR_SETTING_ON = (
    "{gone}=1", "{certain}=1", "{suspected}=1", A_SIDE_DRY.formula("{last_sides}"), "{mastitis_look}>0",
    f"{packed('{given}', _FOR_MASTITIS)}>0", any_of("{last_udder}", BAD_UDDER), any_of("{last_teats}", BAD_TEATS),
    f"{_count_of(4)}>0", f"{packed('{reared}', 5)}>0", f"{packed('{reared}', 4)}>0",
    f"IF(ISNUMBER({{mothering}}),{{mothering}}<={LOST_INTEREST},FALSE)", f"{_count_of(5)}>0",
    _NO_COLOSTRUM, f"AND({_PROLAPSED})", "{prolapse_look}>0", "{told_prolapse}=1", "{told_refused}=1", _BAD_IN_A_WORD,
    _OPEN_LATE, _ILL_NEXT_DAY,
    "{too_thin}=1", f"{{last_feet}}={place(Feet.BADLY_LAME)}",
    "IF({treated}=0,FALSE,SUMIF(live_treatments_ewe,{k},live_treatments_still)>0)",
)
_ALERT_CELLS = f"{{{raised_id(ALERTS[0])}}}:{{{raised_id(ALERTS[-1])}}}"

RANKED = (
    LiveColumn("worst", f"IF(COUNTIF({_ALERT_CELLS},0)={len(ALERTS)},0,SMALL({_ALERT_CELLS},COUNTIF({_ALERT_CELLS},0)+1))"),
    # An error anywhere in her row gives the smallest key of all: she stands on top of Tonight.
    LiveColumn("key", f'IFERROR(IF({{first}}=0,"",IF({{bad}}>0,{{k}},IF(OR({{worst}}=0,{{worst}}>={LATER}),"",'
                      f"{{worst}}*{FIRST}+{{k}}))),{{k}})"),
    LiveColumn("room", f"IF({BOTH_IN_MILK.formula('{last_sides}')},{MOST_LAMBS}-{{at_side}},0)"),
    LiveColumn("barred", _if_ewe(f"IF(OR({','.join(_NOT_FOR_SETTING_ON)}),1,0)", "0")),
    LiveColumn("room_key", 'IFERROR(IF(AND({first}=1,{gone}=0,{lambed}=1,{aborted}=0,{bad}=0,{room}>0,ISNUMBER({lambed_at}),'
                           f"{{since_lambed}}>=0,{{since_lambed}}<={SET_ON_DAYS * MINUTES},{{barred}}=0),"
                           f'{{at_side}}*{FIRST**2 * 10}+{{since_lambed}}*{FIRST}+{{k}},""),"")'),
    LiveColumn("until", _if_ewe(f"MAX(IF({{treated}}=0,0,MAX(0,INT(({latest('live_treatments_until_key')}-{{k}}*{EWE})/{DAY}))),"
                                "IF({group}=0,0,MAX(0,INDEX(live_groups_until,{group}))),live_all_ewes_until)", "0")),
    LiveColumn("until_unknown", _if_ewe(f"IF(OR({{{raised_id(alerts.WITHDRAWAL_UNKNOWN)}}}>0,"
                                        "IF({group}=0,0,INDEX(live_groups_unknown,{group}))>0,live_all_ewes_unknown>0),1,0)",
                                        "0")),
    LiveColumn("lambed_day", 'IF(AND({lambed}=1,ISNUMBER({lambed_on})),INT({lambed_on}),"")'),
    LiveColumn("size", _if_ewe('IF(ISNUMBER({scanned}),MIN({scanned},4),-1)', "-2")),
    LiveColumn("lambed_size", "IF({lambed}=1,{size},-2)"),
    # A prolapse at lambing, of its kind or told in a word.
    LiveColumn("case", case_key(f"IF({{told_prolapse}}=1,{illness_of('{trouble}', LambingTrouble, ILLNESSES)},"
                                f"{illness_of('{prolapse}', Prolapse, ILLNESSES)})", "IF({at}>0,{k},0)", "{lambed_on}")),
    fell_ill("ewes"),
)

EWES = LiveSheet("ewes", (*READ, *LAMBS, *CHECKS, *KNOWN, *SINCE, *_in_order(), *RANKED), rows_of="ewes")
