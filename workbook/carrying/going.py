"""Who does not come back: ewes that died or went, and those the meeting decided to send."""

from collections.abc import Mapping
from dataclasses import dataclass

from template_builder.layout.choices import Action, EweLeft, Verdict
from template_builder.layout.columns import Row
from template_builder.layout.words import shown
from workbook.results.advice.decisions import Decision
from workbook.results.pipeline import Result
from workbook.season.decided import Decided
from workbook.season.families import Ewe

DECIDED = {Verdict.CULL: "culled", Verdict.DRAFT: "sold as draft"}
LEFT, NOT_WRITTEN = "left", "how is not written"


@dataclass(frozen=True)
class Leaver:
    """A ewe that is not on Ewes next season: how, when and why, in words. `decided` where she is to go, and may still be here."""

    key: str
    name: str
    how: str
    when: str
    why: str
    decided: bool = False

    @property
    def words(self) -> str:
        """In a line that names several."""
        return f"{self.name} {self.how}" + (f" on {self.when}" if self.when else "")


def leavers(result: Result, decided: Decided | None) -> Mapping[str, Leaver]:
    """Every ewe that does not come back, by key. Without a summary nobody has decided: only those that are gone."""
    found = {}
    for key, ewe in result.season.flock.ewes.items():
        leaver = _gone(ewe) if ewe.gone else _sent(ewe, result.decisions.get(key), decided)
        if leaver:
            found[key] = leaver
    return found


def _gone(ewe: Ewe) -> Leaver:
    how = ewe.record.choice("left_how", EweLeft) if ewe.record else None
    when, why = (shown(ewe.record.written(column)) if ewe.record else "" for column in ("left_on", "left_why"))
    return Leaver(ewe.key, ewe.name, how.label if how else f"{LEFT}, {NOT_WRITTEN}", when, why)


def _sent(ewe: Ewe, decision: Decision | None, decided: Decided | None) -> Leaver | None:
    """The last word on her: that of the meeting, else the verdict of the rules as the meeting set them."""
    if decided is None or decision is None:
        return None
    word = decided.own_words.get(ewe.key)
    verdict = word.verdict if word else decision.verdict
    if verdict not in DECIDED:
        return None
    why = word.why if word and word.why else "; ".join(
        reason.text for reason in decision.reasons if reason.action is not Action.NOTE)
    return Leaver(ewe.key, ewe.name, f"{DECIDED[verdict]} by decision", "", why or "decided at the meeting", decided=True)


def recommended(result: Result) -> list[str]:
    """Ewes still here that the rules would send, by name: recommended, not decided."""
    return [decision.name for decision in result.decisions.values() if decision.verdict in DECIDED]


def left_row(leaver: Leaver, ewe: Ewe, year: int) -> Row:
    """Her row on Left."""
    told = {column: shown(ewe.record.written(column)) for column in ("official_tag", "also_known_as", "born_year")} \
        if ewe.record else {}
    row: Row = {"ewe": leaver.name, **told, "season": str(year), "how": leaver.how, "left_on": leaver.when, "why": leaver.why}
    return {column: value for column, value in row.items() if value}
