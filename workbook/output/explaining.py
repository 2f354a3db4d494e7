"""What stands behind every id that an output prints, told from the declaration the program itself works with.

Rules come with their page, rows of Policy and Season and alerts from the layout, lines of the account from their list. Figures,
gaps and comparisons are worked out anew from the demo's invented flocks, so that each definition comes with an example.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache

from demo_workbooks import CLEAN, FOLDER, HILL_CLEAN, SHIPPED
from template_builder.layout.alerts import ALERTS, URGENCIES, Alert
from template_builder.layout.choices import WhyHelped
from template_builder.layout.policy import EVIDENCE, RULES, WEIGHTS, YES_OR_NO, Evidence, SelectionRule, Weight
from template_builder.layout.settings import SETTING, SETTINGS, Setting
from template_builder.layout.words import sentence, shown
from workbook.output.rules_page import section
from workbook.results.litters.contrasts import Contrast
from workbook.results.litters.differences import METHOD as CHANCE
from workbook.results.litters.figure import Figure
from workbook.results.litters.figures import HELP_KNOWN, assisted_by
from workbook.results.litters.gaps import SETTINGS as HELD_AGAINST
from workbook.results.litters.gaps import WITHIN, Gap
from workbook.results.litters.lines import LINES, SECOND_SUMS, Line
from workbook.results.litters.missing import helped_words
from workbook.results.scores.mothering import PARTS
from workbook.rules.rule import REGISTRY

CLASS_OF = ":"  # parts the kind of a class from its name in the id of a comparison
EVIDENCE_IS = "evidence:"
JSON_IS = "json  The schema of what check and analyse write as JSON, every field with what it means"
_NOT_HERE = "Figures are explained by the demo, which is not in this file: see Method in a summary, or install the program."
NO_FIGURES = "" if SHIPPED else _NOT_HERE
NEAR = 3  # names offered for one that is not there


@dataclass(frozen=True)
class Entry:
    """One thing that can be explained: its id, other names, its kind, its title, and what is said of it."""

    id: str
    kind: str
    title: str
    text: str
    names: tuple[str, ...] = ()


def find(word: str) -> tuple[Entry, ...]:
    """What is called so by id or name, small letters and capitals alike: a setting and the alert it sets may share one.

    Of "ram:17", one class against the others, what holds for each ram is told.
    """
    wanted = _folded(word.partition(CLASS_OF)[0] if CLASS_OF in word and not word.startswith(EVIDENCE_IS) else word)
    return tuple(entry for entry in entries() if wanted in map(_folded, (entry.id, *entry.names)))


def rule_called(word: str) -> str | None:
    """The id of the rule of check called so by id or name."""
    wanted = _folded(word)
    return next((rule.id for rule in REGISTRY.values() if wanted in (_folded(rule.id), _folded(rule.slug))), None)


def near(word: str) -> tuple[str, ...]:
    """Names close to a word that is none."""
    known = {_folded(name): name for entry in entries() for name in (entry.id, *entry.names)}
    return tuple(known[name] for name in get_close_matches(_folded(word), known, n=NEAR))


def listing() -> str:
    """Everything that can be explained, by kind, a line each."""
    lines: list[str] = []
    kind = ""
    for entry in entries():
        if entry.kind != kind:
            kind = entry.kind
            lines += ["", kind]
        lines.append(f"  {entry.id}  {entry.title}")
    return "\n".join([*lines, "", "Files for other programs", f"  {JSON_IS}", NO_FIGURES]).strip()


def _folded(word: str) -> str:
    return word.strip().casefold().replace("_", "-").replace(" ", "-")


@cache
def entries() -> tuple[Entry, ...]:
    """Everything, by kind in the order of a season's work."""
    return (*_rules(), *map(_selection, RULES), *map(_weight, WEIGHTS), *_evidence(), *map(_setting, SETTINGS),
            *map(_alert, ALERTS), *map(_line, LINES), *_worked_out(), *_parts())


def _rules() -> Iterator[Entry]:
    for id, rule in sorted(REGISTRY.items()):
        yield Entry(id, "Rules of check", rule.title, section(id) or "", (rule.slug,))


def _selection(rule: SelectionRule) -> Entry:
    measured = next(one for one in EVIDENCE if one.id == rule.evidence)
    return Entry(rule.id, "Selection rules (Policy)", rule.title, "\n".join([
        f"{rule.title}: {rule.action.label}, {rule.when.label}, where this {_holds(rule, measured)}: {measured.title}.",
        f"Why: {rule.why}", f"Source: {rule.source}.", f"Evidence: {measured.title} ({measured.unit}).",
        f"As built it is {rule.on.label}; each of these can be changed on Policy."]))


def _holds(rule: SelectionRule, measured: Evidence) -> str:
    """What must be so of the evidence for a rule to ask for its action; what is yes or no holds or does not."""
    return "holds" if measured.unit == YES_OR_NO else f"is {rule.compare.label} {rule.limit:g}"


def _weight(weight: Weight) -> Entry:
    return Entry(weight.id, "Score weights (Policy)", weight.title, "\n".join([
        f"{weight.title}: {weight.limit:g} {weight.unit}, which can be changed on Policy.", f"Why: {weight.why}",
        f"Source: {weight.source}."]))


def _evidence() -> Iterator[Entry]:
    for one in EVIDENCE:
        rules = ", ".join(rule.id for rule in RULES if rule.evidence == one.id)
        text = f"{one.title} ({one.unit}). Selection rules that look at it: {rules or 'none'}."
        yield Entry(f"{EVIDENCE_IS}{one.id}", "Evidence", one.title, text)


def _setting(setting: Setting) -> Entry:
    one = setting.unit.removesuffix("s") if setting.default == 1 else setting.unit
    default = "blank" if setting.default is None else f"{shown(setting.default)} {one}".strip()
    return Entry(setting.id, "Settings (Season)", setting.title, "\n".join([
        f"{setting.title}. As built: {default}.", f"Why: {setting.why}", f"Source: {setting.source}."]))


def _alert(alert: Alert) -> Entry:
    lines = [f"{alert.title}. How urgent: {URGENCIES[alert.urgency]}.", f"Usual next step: {alert.next_step}"]
    return Entry(alert.id, "What needs a look", alert.title, "\n".join(lines), (alert.title,) if alert.title != alert.id else ())


def _line(line: Line) -> Entry:
    sums = [line.parts] if line.parts else []
    sums += [parts for id, parts in SECOND_SUMS if id == line.id]
    return Entry(line.id, "Lines of the litter account", line.title, "\n".join([
        f"{line.title}: {line.definition}.", *(f"{line.id} = {' + '.join(parts)}" for parts in sums)]))


def _parts() -> Iterator[Entry]:
    for id, title in PARTS.items():
        weight = next(one for one in WEIGHTS if one.id == f"weight-{id}")
        yield Entry(id, "Parts of the mothering score", title,
                    f"{title}: up to {weight.limit:g} {weight.unit}. {weight.why} ({weight.source})")


def _worked_out() -> Iterator[Entry]:
    """Figures, gaps and comparisons of both demo flocks; each once."""
    from workbook.reading.season_file import read
    from workbook.results.pipeline import analyse

    results = [analyse(read(FOLDER / name)) for name in (CLEAN, HILL_CLEAN)] if SHIPPED else []
    figures = [_figure(figure) for result in results for figure in result.figures]
    yield from _once([*map(_assisted, (*WhyHelped, None)), *figures])
    yield from _once([_contrast(contrast) for result in results for contrast in result.contrasts])
    yield from _once([*map(_held_against, HELD_AGAINST), *(_gap(gap) for result in results for gap in result.gaps)])


def _assisted(reason: WhyHelped | None) -> Entry:
    id, label = assisted_by(reason)
    return Entry(id, "Figures", f"Assisted %, {label}", f"{helped_words(label)}, out of all {HELP_KNOWN}.")


def _held_against(id: str) -> Entry:
    names = [f"“{SETTING[name].title}”" for name in HELD_AGAINST[id] if name]
    return Entry(id, "In lambs, not per cent", id.removesuffix("_pct").replace("_", " "),
                 f"How many more lambs there would be if the figure had been what Season says under {' or '.join(names)}.")


def _once(found: Sequence[Entry]) -> Iterator[Entry]:
    kept: Mapping[str, Entry] = {entry.id: entry for entry in found}
    yield from sorted(kept.values(), key=lambda entry: entry.id)


def _figure(figure: Figure) -> Entry:
    value = "not defined" if figure.value is None else f"{figure.value:.4g} {figure.unit}".strip()
    counted = "" if figure.value is None or figure.numerator is None or figure.denominator is None else (
        f" (counted {figure.numerator:g}, of {figure.denominator:g})")
    return Entry(figure.id, "Figures", figure.label, "\n".join([
        f"{figure.label}: {figure.definition}", f"In the demo's invented flock: {value}{counted}."]))


def _contrast(contrast: Contrast) -> Entry:
    id, _, name = contrast.id.partition(CLASS_OF)
    return Entry(id, "Comparisons of losses", f"one {id} against the others" if name else contrast.words, "\n".join(filter(None, [
        f"In the demo's invented flock: {contrast.words}",
        "The share lost in one class divided by the share lost in the other; in brackets its 95 % interval, which allows for "
        "litter mates being alike.",
        sentence(contrast.note), CHANCE])))


def _gap(gap: Gap) -> Entry:
    id, _, name = gap.id.partition(CLASS_OF)
    return Entry(id, "In lambs, not per cent", f"one {id} against the others" if name else gap.words, "\n".join(filter(None, [
        f"In the demo's invented flock: {gap.words}",
        "How many more lambs there would be if the figure had been that with which it is compared.",
        "A gap within the flock is shown only where the two classes differ by more than chance." if gap.against == WITHIN else "",
        sentence(gap.note)])))
