"""Keep, watch, draft or cull: the selection rules of Policy over each ewe's evidence."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from template_builder.layout.choices import Action, OnOff, Verdict, When
from template_builder.layout.policy import EVIDENCE, EVIDENCE_BY_ID, SCORE, YES_OR_NO, SelectionRule
from template_builder.layout.words import shown
from workbook.results.advice.evidence import Seen, evidence
from workbook.results.clinical.travel import unfit_to_travel
from workbook.season.cells import CellRef
from workbook.season.families import Ewe
from workbook.season.history import earlier_faults
from workbook.season.season import Season
from workbook.season.withdrawals import Withdrawal, withdrawal

WEANED = "weaned"
NOT_YET = "once; not yet two of three"
NOT_FOR_BREEDING = "not for sale for breeding"
UNKNOWN_WORDS = "nothing recorded about her this season"

# Any of these against her, and she is never offered for breeding elsewhere; by evidence, in a word for the row.
BARS_DRAFT = {
    "prolapse_vaginal": "prolapse", "prolapse_womb": "prolapse", "prolapse_rectal": "prolapse", "prolapse_unnamed": "prolapse",
    "mastitis": "mastitis", "dry_at_lambing": "a side dry", "dry_later": "a side dry", "udder_lump_hard": "udder",
    "udder_damaged": "udder", "teats_large": "teats", "teats_bad": "teats", "udder_or_teats": "udder or teats", "jaw": "jaw",
    "aborted": "abortion",
    "badly_lame": "feet", "lame_treatments": "feet", "refused": "refused lambs", "no_milk": "no milk",
    "never_lambed": "never lambed", "reared_none": "reared none", "lost_hers": "lost lambs", "narrow": "narrow",
}

# How many faults in her last three lambings, this one among them, make a discretionary rule act.
FAULTS_TO_ACT = 2
FAULTY = {2: "two", 3: "all"}

STRICTEST_FIRST: tuple[tuple[Action, Verdict], ...] = (
    (Action.CULL, Verdict.CULL), (Action.DRAFT, Verdict.DRAFT), (Action.WATCH, Verdict.WATCH),
)
_STRICTEST = [action for action, _ in STRICTEST_FIRST] + [Action.NOTE]

LOOKED_AT = tuple(dict.fromkeys(one.checked for one in EVIDENCE))  # the parts of a ewe that can be checked


@dataclass(frozen=True)
class Reason:
    """A selection rule that applies to her, the evidence it saw, and the cells that hold it."""

    rule: str
    title: str
    action: Action
    value: float
    text: str
    cells: tuple[CellRef, ...]


@dataclass(frozen=True)
class Facts:
    """All that the rules look at of one ewe, whatever Policy says of it.

    `seen` is her evidence by id; `earlier_faults` is how many of her up to two earlier lambings count against her in a rule of
    two in three; `recorded` says whether anything at all was written about her this season.
    """

    seen: Mapping[str, Seen]
    earlier_faults: int = 0
    recorded: bool = True

    @property
    def bars(self) -> tuple[str, ...]:
        """What speaks against selling her on for breeding, each in a word."""
        return tuple(dict.fromkeys(word for id, word in BARS_DRAFT.items() if self.seen[id].value))


@dataclass(frozen=True)
class Decision:
    """The verdict on one ewe; `words` says it in one line.

    Reasons stand with the strictest first: the first one decides. `withdrawal` is what is written of medicines, `unfit` why
    she may not be fit to travel, in words.
    """

    ewe: str
    name: str
    verdict: Verdict
    reasons: tuple[Reason, ...]
    facts: Facts
    checked: tuple[str, ...]
    not_checked: tuple[str, ...]
    provisional: bool
    words: str
    withdrawal: Withdrawal = Withdrawal()
    unfit: str = ""

    @property
    def evidence(self) -> dict[str, float | None]:
        """Her evidence by id, None where nothing was recorded."""
        return {id: one.value for id, one in self.facts.seen.items()}


def decisions(season: Season, stage: str) -> Mapping[str, Decision]:
    """A decision for every ewe that is still here, by ewe key. Before weaning records exist each is provisional."""
    return {ewe.key: decision(season, ewe, stage) for ewe in season.flock.ewes.values() if not ewe.gone}


def decision(season: Season, ewe: Ewe, stage: str) -> Decision:
    """The verdict on one ewe: the strictest action among the rules that apply to her."""
    facts = Facts(evidence(season, ewe), earlier_faults(ewe), recorded(ewe))
    verdict, reasons = judged(facts, (placed.rule for placed in season.policy.rules))
    checked, not_checked = _parts(facts.seen)
    return Decision(
        ewe.key, ewe.name, verdict, reasons, facts, checked, not_checked, stage != WEANED,
        _words(verdict, reasons, checked, not_checked), withdrawal(season, ewe), unfit_to_travel(ewe),
    )


def judged(facts: Facts, rules: Iterable[SelectionRule]) -> tuple[Verdict, tuple[Reason, ...]]:
    """The strictest action among the rules that apply to a ewe, and all that do, the strictest first."""
    met = [(rule, value) for rule in rules
           if rule.on is OnOff.ON and (value := facts.seen[rule.evidence].value) is not None and rule.met_by(value)]
    reasons = _strictest_first((rule.evidence, _reason(rule, value, facts)) for rule, value in met)
    return _verdict(reasons) if reasons or facts.recorded else Verdict.UNKNOWN, tuple(reasons)


def _strictest_first(asked: Iterable[tuple[str, Reason]]) -> list[Reason]:
    """The reasons with the strictest first. Of several rules about one evidence the strictest speaks for all."""
    said: dict[str, Reason] = {}
    for about, reason in sorted(asked, key=lambda one: _STRICTEST.index(one[1].action)):
        said.setdefault(about, reason)
    return list(said.values())


def before_she_goes(decision: Decision) -> str:
    """What must be seen to before she leaves the farm: medicines as written here, and whether she is fit to travel."""
    said = []
    if decision.withdrawal.unknown:
        said.append("withdrawal not known: do not send her; check the medicine book")
    elif decision.withdrawal.ends:
        said.append(f"withdrawal written here ends on {shown(decision.withdrawal.ends)}; check the medicine book")
    if decision.unfit:
        said.append(f"{decision.unfit}: may not be fit to travel, ask your vet")
    return "; ".join(said)


def recorded(ewe: Ewe) -> bool:
    """Whether anything at all was recorded about her this season."""
    return ewe.scanned is not None or any((ewe.lambing, ewe.family, ewe.checks, ewe.treatments))


def _reason(rule: SelectionRule, value: float, facts: Facts) -> Reason:
    """What a rule asks for that this value met. A rule of two in three asks only for a note until an earlier lambing agrees."""
    seen, earlier, bars = facts.seen[rule.evidence], facts.earlier_faults, facts.bars
    action = rule.at_mating if seen.at_mating and rule.at_mating else rule.action
    text = rule.title + (f": {seen.words}" if seen.words else measured(rule, value))
    if seen.at_mating:
        text += ", before mating"
    if rule.when is When.TWO_OF_THREE:
        enough = 1 + earlier >= FAULTS_TO_ACT
        action = action if enough else Action.NOTE
        text += f" ({FAULTY[1 + earlier]} of her last three lambings had a fault)" if enough else f" ({NOT_YET})"
    if action is Action.DRAFT and bars:
        action = Action.WATCH
        text += f" ({NOT_FOR_BREEDING}: {', '.join(bars)})"
    return Reason(rule.id, rule.title, action, value, text, seen.cells)


def measured(rule: SelectionRule, value: float) -> str:
    """The evidence in words, such as ", 2 looks"; nothing where it can only be yes."""
    unit = EVIDENCE_BY_ID[rule.evidence].unit
    if unit == YES_OR_NO:
        return ""
    if unit == SCORE:
        return f", {unit} {value:g}"
    return f", {value:g} {unit.removesuffix('s') if value == 1 else unit}"


def _verdict(reasons: Iterable[Reason]) -> Verdict:
    actions = {reason.action for reason in reasons}
    return next((verdict for action, verdict in STRICTEST_FIRST if action in actions), Verdict.KEEP)


def _parts(seen: Mapping[str, Seen]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Which parts of her were looked at and which were not, in the order of the evidence."""
    known = {one.checked for one in EVIDENCE if seen[one.id].value is not None}
    return tuple(part for part in LOOKED_AT if part in known), tuple(part for part in LOOKED_AT if part not in known)


def _words(
    verdict: Verdict, reasons: Sequence[Reason], checked: tuple[str, ...], not_checked: tuple[str, ...],
) -> str:
    if verdict is Verdict.UNKNOWN:
        return UNKNOWN_WORDS
    acting = [reason.text for reason in reasons if reason.action is not Action.NOTE]
    noted = [f"note: {reason.text}" for reason in reasons if reason.action is Action.NOTE]
    if acting:
        return "; ".join(acting + noted)
    said = noted or ["no fault found"]
    if checked:
        said.append(f"checked: {', '.join(checked)}")
    if not_checked:
        said.append(f"not checked: {', '.join(not_checked)}")
    return "; ".join(said)
