"""Hidden blocks that say which ewe each row of Groups, Lambing, Ewe check and Treatments is about, and what it adds."""

from collections.abc import Iterable, Sequence

from template_builder.layout.choices import (
    CheckOccasion,
    Choice,
    Feet,
    HowRecorded,
    Milk,
    Reason,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
)
from template_builder.layout.columns import LINE, ROW_KEY, Column, Sheet
from template_builder.layout.illnesses import EWES, LAMBS
from template_builder.layout.setting_on import BAD_TEATS, BAD_UDDER, NO_ILLNESS, UNDER_TREATMENT
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.live.cases import TREATED_ONLY, case_key, fell_ill, illness_of
from template_builder.live.columns import LiveColumn, LiveSheet, place
from template_builder.live.formulas import (
    DAY,
    EWE,
    PAIR,
    code,
    day_minute,
    exactly,
    key,
    laid_or_matched,
    latest,
    matched,
    number,
    said,
    text,
    unreadable,
    very_thin,
)
from template_builder.live.laid import LAID, astray

TALLIED = range(1, 5)  # of a group without numbers: ewes scanned 1, 2, 3, 4 or more
_IS_TROUBLE = {
    "mastitis": Trouble.MASTITIS, "sleepy": Trouble.SLEEPY, "prolapse": Trouble.PROLAPSE, "aborted": Trouble.ABORTED,
    "thin": Trouble.THIN,
}


def there(names: str, then: str, otherwise: str = '""') -> str:
    """The formula only for rows that the sheet still has: deleted rows leave the last ones empty."""
    return f"IF({{k}}>ROWS({names}),{otherwise},{then})"


def touched(sheet: Sheet) -> str:
    """1 where a person has written in the row beyond its issued cells, or added the row.

    Columns of their own set in between make the area wider than the sheet: then its own columns are counted one by one.
    """
    line, key = (_filled(sheet, [column]) for column in (LINE, ROW_KEY))
    issued, on_a_line = _filled(sheet, sheet.issued), _filled(sheet, sheet.issued_in((LINE.id,)))
    area = f"{sheet.id}_all"
    own = f"IF(COLUMNS({area})>{len(sheet.columns)},{_filled(sheet, sheet.columns)},COUNTA(INDEX({area},{{k}},0)))"
    added = f"AND({key}=0,{own}>0)"
    return there(f"{sheet.id}_row_key", f"IF(OR({own}>{key}+IF({line}=0,{issued},{on_a_line}),{added}),1,0)", "0")


def _filled(sheet: Sheet, columns: Sequence[Column]) -> str:
    """How many of these cells of the row are filled."""
    return "+".join(f"COUNTA(INDEX({sheet.id}_{column.id},{{k}}))" for column in columns)


GROUPS = LiveSheet("groups", (
    LiveColumn("name", there("groups_group", text("groups_group"))),
    LiveColumn("ram_out", f'IF({{name}}="","",{number("groups_ram_out")})'),
    LiveColumn("weaning", f'IF({{name}}="","",{number("groups_weaning")})'),
    LiveColumn("counted", f'IF({{name}}="",0,'
                          f'IF({code("groups_how_recorded", HowRecorded)}={place(HowRecorded.COUNTS_ONLY)},1,0))'),
    LiveColumn("bad", unreadable("{ram_out}:{weaning}")),
    LiveColumn("until", f"MAX(0,INT(({latest('live_treatments_group_key')}-{{k}}*{EWE})/{DAY}))"),
    LiveColumn("unknown", "COUNTIF(live_treatments_group_unknown,{k})"),
    # Whether it is known by a tally alone: no ewe on Ewes runs with it.
    LiveColumn("lone", 'IF({name}="",0,IF(COUNTIF(live_ewes_group,{k}+0)=0,1,0))'),
    *(LiveColumn(f"tally_{number}", f"IF({{lone}}=0,0,MAX(0,N(INDEX(groups_tally_{number},{{k}}))))") for number in TALLIED),
), rows_of="groups")

LAMBING_LINKS = LiveSheet("lambing", (
    LAID,
    LiveColumn("touched", touched(LAMBING)),
    LiveColumn("name", there("lambing_ewe", text("lambing_ewe"))),
    LiveColumn("named", laid_or_matched("{name}", "{laid}")),
    LiveColumn("ewe", "IF({touched}=0,0,{named})"),
    LiveColumn("astray", astray("{ewe}")),
), rows_of="lambing")


def any_of(cell: str, choices: Iterable[Choice]) -> str:
    """Whether a code is one of these values."""
    return f"OR({','.join(f'{cell}={place(choice)}' for choice in choices)})"


def counted(*conditions: str) -> str:
    """Each of these as 1 or 0, two digits each, so that one sum over the rows of a ewe counts them all."""
    counts = ("" if condition == "TRUE" else f"*IF({condition},1,0)" for condition in conditions)
    return "+".join(f"{PAIR ** pair}{count}" for pair, count in enumerate(counts))


def _when(condition: str) -> str:
    """The row's key where it speaks of this, else nothing."""
    return f'IF({{ewe}}>0,IF({condition},{{key}},""),"")'


CHECKS = LiveSheet("checks", (
    LiveColumn("name", there("ewe_check_ewe", text("ewe_check_ewe"))),
    LiveColumn("ewe", matched("{name}", "live_ewes_name")),
    LiveColumn("date", f'IF({{ewe}}<1,"",{number("ewe_check_date")})'),
    LiveColumn("sides", f'IF({{ewe}}<1,"",{number("ewe_check_sides_in_milk")})'),
    LiveColumn("at_foot", f'IF({{ewe}}<1,"",{number("ewe_check_lambs_at_foot")})'),
    LiveColumn("condition", f'IF({{ewe}}<1,"",{number("ewe_check_condition")})'),
    LiveColumn("occasion", f"IF({{ewe}}<1,0,{code('ewe_check_occasion', CheckOccasion)})"),
    LiveColumn("milk", f"IF({{ewe}}<1,0,{code('ewe_check_milk', Milk)})"),
    LiveColumn("teats", f"IF({{ewe}}<1,0,{code('ewe_check_teats', Teats)})"),
    LiveColumn("udder", f"IF({{ewe}}<1,0,{code('ewe_check_udder', Udder)})"),
    LiveColumn("feet", f"IF({{ewe}}<1,0,{code('ewe_check_feet', Feet)})"),
    LiveColumn("trouble", f"IF({{ewe}}<1,0,{code('ewe_check_trouble', Trouble)})"),
    # What is worth a look at its day, counted: only a ewe of whom one says so is looked up among all rows.
    LiveColumn("noted", "IF({ewe}<1,0," + counted(
        unreadable("{date}:{condition}") + "+COUNTIF({occasion}:{trouble},-1)>0", said("{trouble}", Trouble),
        f"{{feet}}={place(Feet.BADLY_LAME)}",
        very_thin("{condition}"), any_of("{teats}", BAD_TEATS),
        any_of("{udder}", BAD_UDDER)) + ")"),
    LiveColumn("key", f'IF({{ewe}}<1,"",{key("{ewe}", "{date}")})'),
    LiveColumn("look_key", _when("ISNUMBER({date})")),
    LiveColumn("teats_key", _when(said("{teats}", Teats))),
    LiveColumn("udder_key", _when(said("{udder}", Udder))),
    LiveColumn("feet_key", _when(said("{feet}", Feet))),
    LiveColumn("condition_key", _when("ISNUMBER({condition})")),
    LiveColumn("trouble_key", _when(said("{trouble}", Trouble))),
    # Not before mating, not a dry ewe without lambs, not before or on the day she lambed: there no milk was to be expected.
    LiveColumn("expected", "IF({ewe}<1,0,IF(OR({occasion}=" + str(place(CheckOccasion.BEFORE_MATING)) + ",AND({milk}="
               + str(place(Milk.DRY)) + ",N({at_foot})=0)),0,IF(AND(INDEX(live_ewes_at,{ewe})=0,INDEX(live_ewes_born,{ewe})=0),"
               f"IF(OR(N({{at_foot}})>0,{said('{milk}', Milk)}),1,0),"
               "IF(AND(ISNUMBER({date}),ISNUMBER(INDEX(live_ewes_lambed_on,{ewe}))),"
               "IF(INT({date})<=INT(INDEX(live_ewes_lambed_on,{ewe})),0,1),1))))"),
    LiveColumn("milk_key", _when("AND({expected}=1,ISNUMBER({sides}))")),
    *(LiveColumn(f"{id}_key", _when(f"{{trouble}}={place(trouble)}")) for id, trouble in _IS_TROUBLE.items()),
    LiveColumn("case", case_key(illness_of("{trouble}", Trouble, EWES), "{ewe}", "{date}")),
    fell_ill("checks"),
), rows_of="ewe_check")


def _given(to: TreatedFor) -> str:
    return f"{{given_to}}={place(to)}"


# A lamb that was treated and died is known by its row; others by the first row that writes the same.
_DIED_CALLED, _DIED_TAG, _FIRST_WRITTEN = (
    f"MATCH({exactly('{animal}')},live_{names},0)" for names in ("lambs_died_called", "lambs_died_tag", "treatments_animal"))
_LAMB = f"IFERROR({_DIED_CALLED},IFERROR({_DIED_TAG},{TREATED_ONLY}+{_FIRST_WRITTEN}))"


TREATMENTS = LiveSheet("treatments", (
    LiveColumn("given_to", there("treatments_given_to", code("treatments_given_to", TreatedFor), "0")),
    LiveColumn("animal", f'IF({{given_to}}=0,"",{text("treatments_animal")})'),
    LiveColumn("date", f'IF({{given_to}}=0,"",{number("treatments_date")})'),
    LiveColumn("days", f'IF({{given_to}}=0,"",{number("treatments_withdrawal")})'),
    LiveColumn("ewe", f'IF({_given(TreatedFor.EWE)},{matched("{animal}", "live_ewes_name")},0)'),
    LiveColumn("group", f'IF({_given(TreatedFor.GROUP)},{matched("{animal}", "live_groups_name")},0)'),
    LiveColumn("until", 'IF(AND(ISNUMBER({date}),ISNUMBER({days})),INT({date})+INT({days}),"")'),
    LiveColumn("lamb", f'IF(AND({_given(TreatedFor.LAMB)},{{animal}}<>"",{{animal}}<>"?"),{_LAMB},0)'),
    LiveColumn("reason", f"IF({{ewe}}+{{lamb}}<1,0,{code('treatments_reason', Reason)})"),
    # How many, cannot be read, for lameness, for mastitis.
    LiveColumn("noted", "IF({ewe}<1,0," + counted(
        "TRUE", unreadable("{date}:{days}") + "+IF({reason}=-1,1,0)>0",
        f"{{reason}}={place(Reason.LAMENESS)}", f"{{reason}}={place(Reason.MASTITIS)}") + ")"),
    # Whether she is still under it. This changes with the clock and so stands apart: what hangs on it is reckoned ever anew.
    LiveColumn("still", f"IF({{ewe}}<1,0,IF(AND(NOT({any_of('{reason}', NO_ILLNESS)}),OR(NOT(ISNUMBER({{date}})),"
                        f"INT(N({{date}}))>=INT(live_now)-{UNDER_TREATMENT.days},"
                        "IF(ISNUMBER({until}),{until}>=INT(live_now),FALSE))),1,0))"),
    LiveColumn("key", f'IF({{ewe}}<1,"",{key("{ewe}", "{date}")})'),
    LiveColumn("lame_key", f'IF({{reason}}={place(Reason.LAMENESS)},{{key}},"")'),
    LiveColumn("minute", day_minute("{date}")),
    LiveColumn("until_key", f'IF(AND({{ewe}}>0,ISNUMBER({{until}})),{{ewe}}*{EWE}+{{until}}*{DAY}+{{k}},"")'),
    LiveColumn("running_key", f'IF(AND({{ewe}}>0,ISNUMBER({{until}}),N({{until}})>=INT(live_now)),{{ewe}}*{EWE}+{{minute}},"")'),
    LiveColumn("unknown_key", f'IF(AND({{ewe}}>0,NOT(ISNUMBER({{until}}))),{{ewe}}*{EWE}+{{minute}},"")'),
    LiveColumn("group_key", f'IF(AND({{group}}>0,ISNUMBER({{until}})),{{group}}*{EWE}+{{until}}*{DAY}+{{k}},"")'),
    LiveColumn("group_unknown", 'IF(AND({group}>0,NOT(ISNUMBER({until}))),{group},0)'),
    LiveColumn("all_ewes", f'IF({_given(TreatedFor.ALL_EWES)},{{until}},"")'),
    LiveColumn("all_ewes_unknown", f"IF(AND({_given(TreatedFor.ALL_EWES)},NOT(ISNUMBER({{until}}))),1,0)"),
    LiveColumn("illness", f"IF({{lamb}}>0,{illness_of('{reason}', Reason, LAMBS)},{illness_of('{reason}', Reason, EWES)})"),
    LiveColumn("case", case_key("{illness}", "MAX({ewe},{lamb})", "{date}")),
    fell_ill("treatments"),
), rows_of="treatments")

