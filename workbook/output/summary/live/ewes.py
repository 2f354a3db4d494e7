"""The row of a ewe: evidence as values, and from it verdict, reasons and final decision as formulas.

Each formula reads its own row and the rules alone, so that the table may be sorted. Hidden keys, one beside the decision
that is typed and one beside the evidence, and her number once more tell when a part of the row was sorted without the rest.

What other formulas look at is a number, 0 for nothing: LibreOffice does not pass on a change through a cell that was stored with
empty words and has not been looked at since the file was opened.
"""

from collections.abc import Sequence

from template_builder.layout.choices import Action, Compare, OnOff, Verdict, When
from template_builder.layout.decided import FINAL
from template_builder.layout.policy import EVIDENCE, EVIDENCE_BY_ID, RULES, SelectionRule
from template_builder.live.columns import LiveColumn, LiveSheet, first_that_holds, place
from workbook.output.summary.live.rules import LOOKS, TOLD
from workbook.results.advice.decisions import FAULTS_TO_ACT, FAULTY, NOT_FOR_BREEDING, NOT_YET

EWE_BLOCK = "decisions"
MOST_REASONS = 5  # in one line; what is more is counted
STEP = 100  # a reason as one number, the stricter, the larger: what it asks for, then in two digits which rule
OUT_OF_PLACE = "sorted apart"
NO_FAULT = "no fault found"
UNREADABLE = "? "  # before a word that is none of the four
OUTSIDE = len(Verdict) + 1  # the number of a final decision that cannot be read
OWN_REASON = STEP - 1  # the number of the reason of a ewe about whom somebody decided otherwise
REASON, EWE = 10**7, 10**5  # the place of a ewe in the lists as one number: decision, reason, then her place by number

YEARS = ("Her last year", "The year before", "Three years back")
_NOTE = place(Action.NOTE)
_ACTS = 2 * STEP  # from here on a reason asks for more than a note
_ACTING = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH)


def ewes_sheet(printed: Sequence[LiveColumn], ewes: int, more: Sequence[LiveColumn] = ()) -> LiveSheet:
    """The block: `printed` columns first, then everything they rest on, then `more` that rests on these."""
    return LiveSheet(EWE_BLOCK, (*printed, *_behind(), *more), rows=ewes, numbered=False)


def verdict_formula() -> str:
    """The strictest action among the rules that apply to her."""
    words = f'INDEX(live_{VERDICTS},{{verdict_code}})'
    return f'IF({{apart}}=1,"{OUT_OF_PLACE}",{words})'


def final_formula() -> str:
    """What somebody decided, else the verdict; a word outside the list is shown."""
    chosen = f"INDEX(live_{VERDICTS},{{final_code}})"
    return (f'IF({{apart}}=1,"{OUT_OF_PLACE}",IF({{said}}<0,"{UNREADABLE}"&TRIM({{word}}&""),{chosen}))')


def reasons_formula() -> str:
    """The reasons in words, the one that decides first."""
    joined = "{words_1}" + "".join(f'&IF({{key_{n}}}=0,"","; "&{{words_{n}}})' for n in range(2, MOST_REASONS + 1))
    more = f'IF({{found}}>{MOST_REASONS},"; and "&({{found}}-{MOST_REASONS})&" more","")'
    none = f'IF({{recorded}}=1,"{NO_FAULT}","{Verdict.UNKNOWN.meaning}")'
    return f"IF({{found}}=0,{none},{joined}&{more})"


def going_formula() -> str:
    """What is to be seen to before she goes, of those that go."""
    return f'IF(OR({{final_code}}={place(Verdict.CULL)},{{final_code}}={place(Verdict.DRAFT)}),{{before_going}}&"","")'


VERDICTS = "verdicts_word"  # the words of the verdicts in their order


def evidence_id(id: str) -> str:
    return f"e_{id}"


def evidence_columns() -> tuple[LiveColumn, ...]:
    """A column of values for each evidence, for whoever wants to see what a limit is held against."""
    return tuple(LiveColumn(evidence_id(one.id), "", one.title) for one in EVIDENCE)


def years_columns() -> tuple[LiveColumn, ...]:
    """Her last three years, one line each, the latest first."""
    return tuple(LiveColumn(f"year_{number}", "", title) for number, title in enumerate(YEARS, start=1))


def beside_columns() -> tuple[LiveColumn, ...]:
    """What stands right of the printed page: her years, the cells that speak against her, and the number each rule looks at."""
    return *years_columns(), LiveColumn("cells", "", "Cells"), *evidence_columns()


def _behind() -> tuple[LiveColumn, ...]:
    hits = [LiveColumn(f"hit_{rule.id.replace('-', '_')}", _kept(rule, number)) for number, rule in enumerate(RULES, start=1)]
    reasons = [column for number in range(1, MOST_REASONS + 1) for column in _reason(number, hits[0].id, hits[-1].id)]
    return (
        *beside_columns(),
        *(LiveColumn(id, "") for id in ("own_name", "own_key", "order", "was", "before_going", "recorded", "faults", "bars")),
        *(LiveColumn(f"look_{number}", "") for number in range(1, len(LOOKS) + 1)),
        *(LiveColumn(f"told_{number}", "") for number in range(1, len(TOLD) + 1)),
        *(LiveColumn(_met_id(rule), _met(rule, number)) for number, rule in enumerate(RULES, start=1) if _shares(rule)),
        *hits,
        LiveColumn("found", f"{len(hits)}-COUNTIF({{{hits[0].id}}}:{{{hits[-1].id}}},0)"),
        *reasons,
        LiveColumn("apart", "IF(AND({name}={own_name},{row_key}={own_key}),0,1)"),
        LiveColumn("verdict_code", _verdict_code()),
        LiveColumn("decider", f"IF({{key_1}}<{_ACTS},0,{{rule_1}})"),
        LiveColumn("said", _said()),
        LiveColumn("final_code", f"IF(OR({{apart}}=1,{{said}}<0),{OUTSIDE},IF({{said}}=0,{{verdict_code}},{{said}}))"),
        LiveColumn("moved", "IF({final_code}={was},0,1)"),
        LiveColumn("place", f"{{final_code}}*{REASON}+{_reason_of_list()}*{EWE}+{{order}}"),
        LiveColumn("mark", f"{_section()}*{EWE}+{{order}}"),
        # To be decided on now, and not when this was written.
        LiveColumn("added", f"IF(AND({{final_code}}<={len(_ACTING)},{{was}}>{len(_ACTING)}),{{place}},0)"),
    )


def _now(column: str, rule: int | str) -> str:
    """What Policy says of a rule now."""
    return f"INDEX(live_rules_{column},{rule})"


def _met_id(rule: SelectionRule) -> str:
    return f"met_{rule.id.replace('-', '_')}"


def _shares(rule: SelectionRule) -> bool:
    """Whether another rule looks at the same evidence: then only the stricter of the two speaks."""
    return sum(other.evidence == rule.evidence for other in RULES) > 1


def _kept(rule: SelectionRule, number: int) -> str:
    if not _shares(rule):
        return _met(rule, number)
    others = ",".join(f"{{{_met_id(other)}}}" for other in RULES if other.evidence == rule.evidence)
    own = f"{{{_met_id(rule)}}}"
    return f"IF({own}=MAX({others}),{own},0)"


def _met(rule: SelectionRule, number: int) -> str:
    """A rule as one number where it applies to her: what it asks for and which it is. 0 where it does not apply."""
    seen = f"{{{evidence_id(rule.evidence)}}}"
    asks = _unless_barred("action", number)
    if EVIDENCE_BY_ID[rule.evidence].last_look:
        asks = f"IF({_look(EVIDENCE_BY_ID[rule.evidence].checked)}=1,{_unless_barred('mating', number)},{asks})"
    waits = f"AND({_now('when', number)}={place(When.TWO_OF_THREE)},{{faults}}<{FAULTS_TO_ACT - 1})"
    limit = _now("limit", number)
    met = f"IF({_now('compare', number)}={place(Compare.AT_LEAST)},{seen}>={limit},{seen}<={limit})"
    reason = f"IF({met},{STEP}*({_NOTE + 1}-IF({waits},{_NOTE},{asks}))+{STEP - number},0)"
    return f'IF({seen}="",0,IF({_now("on", number)}<>{place(OnOff.ON)},0,{reason}))'


def _unless_barred(column: str, number: int | str) -> str:
    return f'IF({{bars}}="",{_now(column, number)},{_now(f"{column}_barred", number)})'


def _look(part: str) -> str:
    return f"{{look_{LOOKS.index(part) + 1}}}"


def _reason(number: int, first: str, last: str) -> tuple[LiveColumn, ...]:
    """The reason at this place, the strictest first: its number, its rule, the value it saw, and its words."""
    key, rule = f"{{key_{number}}}", f"{{rule_{number}}}"
    first_evidence, last_evidence = (f"{{{evidence_id(EVIDENCE[at].id)}}}" for at in (0, -1))
    return (
        LiveColumn(f"key_{number}", f"IF({{found}}<{number},0,LARGE({{{first}}}:{{{last}}},{number}))"),
        LiveColumn(f"rule_{number}", f"IF({key}=0,0,{STEP}+{STEP}*INT({key}/{STEP})-{key})"),
        LiveColumn(f"value_{number}", f"IF({key}=0,0,INDEX({first_evidence}:{last_evidence},{_now('evidence', rule)}))"),
        LiveColumn(f"words_{number}", f'IF({key}=0,"",{_words(number)})'),
    )


def _words(number: int) -> str:
    key, rule, value = (f"{{{id}_{number}}}" for id in ("key", "rule", "value"))
    looked = f"IF({_now('look', rule)}=0,0,INDEX({{look_1}}:{{look_{len(LOOKS)}}},MAX(1,{_now('look', rule)})))"
    told = f'IF({_now("told", rule)}=0,"",INDEX({{told_1}}:{{told_{len(TOLD)}}},MAX(1,{_now("told", rule)}))&"")'
    measured = (f'IF({_now("before", rule)}="","",{_now("before", rule)}&{value}&'
                f'IF({value}=1,{_now("one", rule)},{_now("many", rule)}))')
    twice = f"{_now('when', rule)}={place(When.TWO_OF_THREE)}"
    faulty = f'IF({{faults}}+1>2,"{FAULTY[3]}","{FAULTY[2]}")'
    agreed = f'IF({{faults}}<{FAULTS_TO_ACT - 1}," ({NOT_YET})"," ("&{faulty}&" of her last three lambings had a fault)")'
    asked = f"IF({looked}=1,{_now('mating', rule)},{_now('action', rule)})"
    acts = f"NOT(AND({twice},{{faults}}<{FAULTS_TO_ACT - 1}))"
    parts = (
        f'IF({key}<{_ACTS},"note: ","")',
        _now("title", rule),
        f'IF({told}="",{measured},": "&{told})',
        f'IF({looked}=1,", before mating","")',
        f'IF({twice},{agreed},"")',
        f'IF(AND({{bars}}<>"",{asked}={place(Action.DRAFT)},{acts})," ({NOT_FOR_BREEDING}: "&{{bars}}&")","")',
    )
    return "&".join(parts)


def _verdict_code() -> str:
    """The verdict by its number in the list of verdicts; actions but for a note have the same numbers."""
    keep, unknown = place(Verdict.KEEP), place(Verdict.UNKNOWN)
    return (f"IF({{found}}=0,IF({{recorded}}=1,{keep},{unknown}),"
            f"IF({{key_1}}<{_ACTS},{keep},{_NOTE + 1}-INT({{key_1}}/{STEP})))")


def _said() -> str:
    """What somebody decided by its number in the list of verdicts, 0 for nothing, -1 for a word outside the list."""
    cell = 'TRIM({word}&"")'
    words = [(f'{cell}="{verdict.label}"', place(verdict)) for verdict in FINAL]
    return first_that_holds([(f'{cell}=""', 0), *words], -1)


def _reason_of_list() -> str:
    """The rule that decided, or that somebody decided otherwise; no reason stands with ewes that are kept."""
    return (f"IF({{final_code}}>{len(_ACTING)},0,"
            f"IF({{said}}=0,{{decider}},IF({{said}}={{verdict_code}},{{decider}},{OWN_REASON})))")


# The sections of the list for the pen, by the number of the final decision: those that stay without a word come last.
SECTIONS = (*(place(verdict) for verdict in (*_ACTING, Verdict.UNKNOWN)), OUTSIDE, place(Verdict.KEEP))


def _section() -> str:
    *others, _ = enumerate(SECTIONS, start=1)
    return first_that_holds(((f"{{final_code}}={code}", number) for number, code in others), len(SECTIONS))
