"""The hidden block of ewes: every alert as a number, 0 where it is not raised, else which it is and since which minute."""

from collections.abc import Iterator, Sequence

from template_builder.layout import alerts
from template_builder.layout.alerts import ALERTS, Alert
from template_builder.layout.choices import Colostrum, Feet, NextDay, Prolapse, Teats, YesNo
from template_builder.layout.sides import A_SIDE_DRY
from template_builder.live.columns import LiveColumn, place
from template_builder.live.ewe_facts import (
    BIG_LITTER,
    FOR_LAMENESS,
    NO_COLOSTRUM,
    TOLD_BAD_UDDER,
    TOLD_NO_MILK,
    look_that_counts,
    since_look,
)
from template_builder.live.formulas import (
    EWE,
    MINUTES,
    NO_MINUTE,
    day_minute,
    earliest,
    if_all,
    key_minute,
    latest,
    packed,
    rank,
    said,
    very_thin,
)
from template_builder.live.lamb_block import ranked

# From when on a sign counts, as no look or weaning came after it.
_SHUT, _SHUT_NEXT = "MAX({weaned},{seen_at})", f"MAX({{weaned}},{{seen_at}}-{MINUTES})"
_HERE, _WATCHED = ("{first}=1", "{gone}=0"), ("{watched}=1",)


def raised_id(alert: Alert) -> str:
    """The column that says whether she has this alert."""
    return f"alert_{alert.id}"


def _still(alert: Alert, since: str, shut: str) -> str:
    """The alert as a number where neither a look nor weaning came after it, else 0."""
    return f"IF(AND({since}>={shut},{since}<={{dated}}),{ranked(alert, since)},0)"


def _raised(alert: Alert, conditions: Sequence[str], since: str, shut: str = _SHUT) -> LiveColumn:
    """0, or which alert and since which minute: where all hold, the rarest first, and neither a look nor weaning came after."""
    return LiveColumn(raised_id(alert), if_all(conditions, _still(alert, since, shut)))


def _by_lamb(alert: Alert, key: str, shut: str = _SHUT, otherwise: str = "0") -> LiveColumn:
    """From her lambs: the freshest of those it concerns."""
    since = f"({key}-{{k}}*{EWE})"
    found = f"IF({since}>={shut},{ranked(alert, since)},0)"
    return LiveColumn(raised_id(alert), f"IF({{gone}}=0,IF({key}>0,{found},{otherwise}),0)")


def _by_key(alert: Alert, keys: str) -> LiveColumn:
    """From treatments: the earliest of them."""
    found = earliest(keys)
    ranked_since = f"{rank(alert, alert.urgency)}+{found}-{{k}}*{EWE}"
    return LiveColumn(raised_id(alert), if_all(("{treated}>0", "{gone}=0", f"{found}>0"), ranked_since))


def _treated_since(treated: str, minute: str) -> str:
    """Whether a treatment is of that day or later; what has no day comes last."""
    return f"IF({treated}=0,FALSE,{key_minute(treated)}>=INT({minute}/{MINUTES})*{MINUTES})"


PROLAPSED = said("{prolapse}", Prolapse) + f",{{prolapse}}<>{place(Prolapse.NONE)}"
_ON_LAMBING = f"{{prolapse}}={place(Prolapse.VAGINAL)},{{told_prolapse}}=1"
_LABOUR = (f"{{waters_minute}}<{NO_MINUTE}", "{lambed}=0", "{aborted}=0", "{at}>0", *_WATCHED)
_LONG = (*_LABOUR[:1], "{since_waters}>=live_long_labour*60", *_LABOUR[1:])
_LAPSED = int(alerts.LABOUR_LAPSES.total_seconds()) // 60
_UNLOOKED = ("{looked}=0", "{alive_here}>0", "ISNUMBER({lambed_at})", "{at}>0", *_WATCHED)
_LOOK_LAPSED = int(alerts.NEXT_LOOK_LAPSES.total_seconds()) // 60
_LITTER = ("{lambed}=1", "{next_looked}=0", "{lambs}>0", "N({scanned})>0", *_WATCHED)
_FIRST_DAYS = ("{next_looked}=0", f"{{since_lambed}}<={int(alerts.FIRST_DAYS.total_seconds()) // 60}")
_HELD = int(alerts.AFTERBIRTH_HELD.total_seconds()) // 60
# What was so at lambing is answered by the next day's look too; what that look found, by one of a day later.
_SIDE_STILL = (f"IF({{milk_look}}>0,{_SHUT},IF(ISNUMBER({{sides_next}}),{_SHUT_NEXT},"
               f"IF({{next_looked}}=1,{NO_MINUTE}+1,{_SHUT})))")
_TEATS_STILL = f"IF(AND({{teats_from}}=0,{{next_looked}}=1),{NO_MINUTE}+1,{_SHUT})"

# A prolapse written on Lambing, or seen again later.
_PROLAPSE_SINCE = (f"IF(IF({{prolapse_look}}>0,{key_minute('{prolapse_look}')}<{NO_MINUTE},FALSE),"
                   f"IF({{lambed_minute}}<{NO_MINUTE},MAX({{lambed_minute}},{key_minute('{prolapse_look}')}),"
                   f"{key_minute('{prolapse_look}')}),{{lambed_minute}})")
_ABORTED_SINCE = since_look("{aborted_look}", day_minute("{lambed_on}"))
TOO_THIN = very_thin("{last_condition}")
_LAME_TREATED = f"IF({packed('{given}', FOR_LAMENESS)}=0,0,{latest('live_treatments_lame_key')})"
_THIN_TREATED = f"IF({{treated}}=0,0,{latest('live_treatments_key')})"

SINCE = (
    LiveColumn("since_waters", f"IF({{waters_minute}}={NO_MINUTE},0,live_minute-{{waters_minute}})"),
    LiveColumn("since_lambed", f"IF({{lambed_minute}}={NO_MINUTE},0,live_minute-{{lambed_minute}})"),
    # Since when she aborted or may have, and how many did from then on until a week later, herself too.
    LiveColumn("lost_since", f'IF({{certain}}=1,{_ABORTED_SINCE},IF({{suspected}}=1,{day_minute("{lambed_on}")},""))'),
    LiveColumn("lost_close", f'IF(IF(ISNUMBER({{lost_since}}),{{lost_since}}<{NO_MINUTE},FALSE),'
                             f'COUNTIF(live_ewes_lost_since,">"&{{lost_since}}-1)-'
                             f'COUNTIF(live_ewes_lost_since,">"&{{lost_since}}+{alerts.ABORTIONS_CLOSE.days * MINUTES}),0)'),
    # One of her lambs, the freshest, or one told in a word, of which no look next day is written.
    LiveColumn("refused_since", f"MAX(IF({{refused}}-{{k}}*{EWE}<{_SHUT},0,{{refused}}-{{k}}*{EWE})," + if_all(
        ("{told_refused}=1", "{at_side}>0", "{next_looked}=0", f"{{lambed_minute}}>={_SHUT}", "{lambed_minute}<={dated}"),
        "{lambed_minute}") + ")"),
    LiveColumn("lame_since", f"IF({{last_feet}}={place(Feet.BADLY_LAME)},{since_look('{feet_look}')},0)"),
    # Thin by a look, or by her last condition: the later of both.
    LiveColumn("thin_since", f"MAX(IF({{thin_look}}>0,{key_minute('{thin_look}')},0),"
                             f"IF({TOO_THIN},{since_look('{condition_from}')},0))"),
)

BAD_IN_A_WORD = (f"AND({TOLD_BAD_UDDER},OR({{teats}}={place(Teats.SOUND)},NOT({said('{teats}', Teats)})),"
                  f"{look_that_counts('{udder_look}', 'TRUE')}=0,{look_that_counts('{teats_look}', 'TRUE')}=0)")

_FORMULAS = (
    _raised(alerts.LONG_LABOUR, (*_LONG, f"{{since_waters}}<={_LAPSED}"), "{waters_minute}", "{weaned}"),
    _raised(alerts.WOMB_PROLAPSE, (f"{{prolapse}}={place(Prolapse.WOMB)}", *_HERE), _PROLAPSE_SINCE),
    _raised(alerts.PROLAPSE, (f"OR({_ON_LAMBING},AND(NOT(AND({PROLAPSED})),{{prolapse_look}}>0))", *_HERE),
            f"IF(OR({_ON_LAMBING}),{_PROLAPSE_SINCE},{key_minute('{prolapse_look}')})"),
    _raised(alerts.ABORTED, ("{certain}=1", *_HERE), "{lost_since}", "{weaned}"),
    _raised(alerts.ABORTION_SUSPECTED, ("{suspected}=1", *_HERE), "{lost_since}", "{weaned}"),
    _raised(alerts.MASTITIS, ("{mastitis_look}>0", *_HERE), key_minute("{mastitis_look}")),
    _raised(alerts.SLEEPY, ("{sleepy_look}>0", *_HERE), key_minute("{sleepy_look}")),
    _raised(alerts.IN_LABOUR, (*_LABOUR, "{since_waters}>=live_labour_look*60", "{since_waters}<live_long_labour*60"),
            "{waters_minute}", "{weaned}"),
    LiveColumn(raised_id(alerts.ORPHANS), if_all(("{gone}=1", "{first}=1", "{at_side}>0", "{weaned}=0"),
               ranked(alerts.ORPHANS, day_minute("{left_on}")))),
    _raised(alerts.LITTLE_COLOSTRUM, (f"OR({{colostrum}}={place(Colostrum.LITTLE)},{NO_COLOSTRUM})",
            f"OR({packed('{reared}', 2)}>0,AND({TOLD_NO_MILK},{{unnamed}}>0))", *_FIRST_DAYS, *_HERE), "{lambed_minute}"),
    _by_lamb(alerts.NOT_SUCKING, "{unsucked}"),
    _by_lamb(alerts.HOLLOW, "{hollow}", _SHUT_NEXT,
             if_all((f"{{next_day}}={place(NextDay.ONE_HOLLOW)}", f"{packed('{reared}', 6)}=0"),
                    _still(alerts.HOLLOW, "{lambed_minute}", _SHUT_NEXT))),
    LiveColumn(raised_id(alerts.REFUSED), if_all(("{refused_since}>0", "{gone}=0"), ranked(alerts.REFUSED, "{refused_since}"))),
    _raised(alerts.TROUBLE, (f"{{next_day}}={place(NextDay.TROUBLE)}", *_HERE), "{lambed_minute}", _SHUT_NEXT),
    _raised(alerts.NEXT_LOOK, (*_UNLOOKED, "{since_lambed}>=live_next_look*60", f"{{since_lambed}}<={_LOOK_LAPSED}"),
            "{lambed_minute}"),
    _raised(alerts.HELPED_TO_SUCK, (f"{{next_day}}={place(NextDay.HELPED)}", *_HERE), "{lambed_minute}", _SHUT_NEXT),
    _raised(alerts.AFTERBIRTH_HELD_BACK, (f"{{afterbirth}}={place(YesNo.NO)}", f"OR({{lambed_minute}}={NO_MINUTE},"
            f"{{since_lambed}}>={_HELD})", *_HERE), "{lambed_minute}", _SHUT_NEXT),
    _raised(alerts.SIDE_DRY, (A_SIDE_DRY.formula("{last_sides}"), "{weaned}=0", *_HERE), since_look("{milk_look}"), _SIDE_STILL),
    _raised(alerts.LARGE_TEATS, (f"{{last_teats}}={place(Teats.LARGE)}", "{at_side}>0", "{weaned}=0", *_HERE),
            since_look("{teats_from}"), _TEATS_STILL),
    _raised(alerts.BAD_UDDER, (BAD_IN_A_WORD, "{next_looked}=0", *_HERE), "{lambed_minute}"),
    _raised(alerts.SMALL_LAMBS, (f"{{born}}>={BIG_LITTER}", f"{packed('{reared}', 3)}>0", *_FIRST_DAYS, *_HERE),
            "{lambed_minute}"),
    _raised(alerts.MISSING_LAMB, (*_LITTER, "{lambs}<N({scanned})"), "{lambed_minute}"),
    _raised(alerts.MORE_LAMBS, (*_LITTER, "{lambs}>N({scanned})"), "{lambed_minute}"),
    _raised(alerts.BADLY_LAME, ("{lame_since}>0", "NOT(" + _treated_since(_LAME_TREATED, key_minute("{feet_look}")) + ")",
                                *_HERE), "{lame_since}"),
    _raised(alerts.RECTAL_PROLAPSE, (f"{{prolapse}}={place(Prolapse.RECTAL)}", *_HERE), _PROLAPSE_SINCE),
    _raised(alerts.VERY_THIN, ("{thin_since}>0", "NOT(" + _treated_since(_THIN_TREATED, "{thin_since}") + ")", *_HERE),
            "{thin_since}"),
    _raised(alerts.OVERDUE, ("{lambed}=0", "{aborted}=0", "N({scanned})>0", "ISNUMBER({last_day})", "INT(live_now)>N({last_day})",
                             *_WATCHED), day_minute("{last_day}"), "{weaned}"),
    _by_key(alerts.WITHDRAWAL, "live_treatments_running_key"),
    _raised(alerts.LABOUR_NOT_RECORDED, (*_LONG, f"{{since_waters}}>{_LAPSED}"), "{waters_minute}", "{weaned}"),
    _by_key(alerts.WITHDRAWAL_UNKNOWN, "live_treatments_unknown_key"),
)


def alerts_in_order() -> Iterator[LiveColumn]:
    by_id = {column.id: column for column in _FORMULAS}
    yield from (by_id[raised_id(alert)] for alert in ALERTS)
