"""Results as CSV and JSON, and in a few lines. Dates are ISO, text is UTF-8, a number not defined is null."""

import csv
import io
import json
from collections import Counter
from datetime import date, datetime

from template_builder.layout.choices import Verdict
from workbook.output.problem_text import EVERYTHING, Asked, count_words, open_conflicts_words
from workbook.output.summary.phrases import FEW_WORD, NOTHING_WRITTEN, SHARE_UNIT, label
from workbook.results.litters.contrasts import RISK_RATIO, Contrast
from workbook.results.litters.differences import Difference
from workbook.results.litters.figures import BEFORE, NOTHING, Figure
from workbook.results.litters.gaps import Gap
from workbook.results.litters.group_account import GroupAccount
from workbook.results.litters.life_table import LifeStage, life_table
from workbook.results.pipeline import Checked, Result
from workbook.results.scores.lamb_model import LambAgainst
from workbook.rules.answers import what_to_do
from workbook.rules.rule import Problem
from workbook.season.families import Lamb

VERSION = 1
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
_HEADLINES = ("scanning_pct_scanned", "litter_born", "total_loss_pct", "loss_live_born_pct", "reared_pct")
_BEFORE_LAMBING = ("scanning_pct_ram", "scanning_pct_scanned", "litter_scanned", "empty_pct")
_CSV_HEADINGS = ("file", "rule", "slug", "severity", "sheet", "cell", "value", "message", "fix", "also")


def as_csv(checked: Checked, asked: Asked = EVERYTHING) -> str:
    """The problems asked for as CSV. A value that begins like a formula has an apostrophe put in front, so that it stays text."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(_CSV_HEADINGS)
    for problem in asked.of(checked.problems):
        row = {**_problem(problem), "file": checked.season.file, "also": "; ".join(map(str, problem.found.also))}
        writer.writerow([_safe(str(row[heading])) for heading in _CSV_HEADINGS])
    return buffer.getvalue()


def _safe(value: str) -> str:
    return f"'{value}" if value.startswith(_FORMULA_STARTS) else value


def as_json(checked: Checked, asked: Asked = EVERYTHING) -> str:
    """The problems asked for as JSON: version, file, problems, skipped."""
    return _dump({
        "version": VERSION,
        "file": checked.season.file,
        "problems": [_problem(problem) for problem in asked.of(checked.problems)],
        "skipped": [{"rule": skipped.rule.id, "missing": list(skipped.missing)} for skipped in checked.skipped],
    })


def _problem(problem: Problem) -> dict[str, object]:
    rule, found = problem.rule, problem.found
    return {
        "rule": rule.id, "slug": rule.slug, "severity": rule.severity.value, "sheet": found.place.sheet,
        "cell": found.place.cell, "value": found.value, "message": found.text, "fix": what_to_do(problem),
        "also": [str(place) for place in found.also],
    }


def result_json(result: Result) -> str:
    """All figures, the litter account, and each ewe's decision and score as JSON."""
    return _dump({
        "version": VERSION,
        "season": {"file": result.season.file, "title": result.season.title, "as_of": result.season.as_of},
        "stage": result.stage,
        "figures": [_figure(figure) for figure in result.figures],
        "account": {line: dict(classes) for line, classes in result.account.lines.items()},
        "groups": [_group(account) for account in result.groups],
        "lambs": [_lamb(lamb, one) for lamb in result.season.flock.lambs
                  if lamb.named and (one := result.rearing.lambs.lambs.get(lamb.record.row))],
        "ewes": [_ewe(result, key) for key in result.decisions],
        "life_table": [_stage(stage) for stage in life_table(result.season)],
        "gaps": [_gap(gap) for gap in result.gaps],
        "contrasts": [_contrast(contrast) for contrast in result.contrasts],
        "differences": [_difference(table.difference) for table in result.losses if table.difference],
    })


def _stage(stage: LifeStage) -> dict[str, object]:
    """A stage of the life table; `at_risk` is null for lambs of which nothing tells when they went."""
    return {
        "stage": stage.label, "at_risk": stage.at_risk, "died": stage.died, "missing": stage.missing, "short": stage.short,
        "sold": stage.sold, "still_in_it": stage.still, "lost": stage.lost, "live_born": stage.of_live_born.denominator,
        "of_live_born": stage.of_live_born.value, "of_at_risk": stage.of_at_risk.value if stage.of_at_risk else None,
        "survived": stage.survived,
    }


def _gap(gap: Gap) -> dict[str, object]:
    return {
        "id": gap.id, "words": gap.words, "lambs": gap.lambs, "counted": gap.counted, "of": gap.of, "against": gap.against,
        "reference": gap.reference, "not_recorded": gap.note,
    }


def _contrast(contrast: Contrast) -> dict[str, object]:
    """A comparison as data: the ratio of risks with its interval, the ratio of odds under its own name, and both classes."""
    risk = contrast.risk_ratio
    sides = {
        name: {"class": side.name, "lost": side.loss.numerator, "of": side.loss.denominator, "share": side.loss.value,
               "low": side.loss.low, "high": side.loss.high, "design_effect": side.design_effect}
        for name, side in (("first", contrast.first), ("second", contrast.second))
    }
    return {
        "id": contrast.id, "words": contrast.words, "measure": RISK_RATIO, "risk_ratio": risk.value, "low": risk.low,
        "high": risk.high, "odds_ratio": contrast.odds_ratio, "likeness_within_litters": contrast.likeness, **sides,
        "not_recorded": contrast.note, "may_be_chance": contrast.by_chance,
    }


def _difference(difference: Difference) -> dict[str, object]:
    """Whether the classes of a split differ in losses by more than chance, and each against the share of all."""
    test = difference.test
    return {
        "id": difference.id, "chi_square": test.chi_square, "freedom": test.freedom, "p": test.p,
        "p_corrected": difference.chance, "tables": difference.tables, "beyond_chance": difference.beyond_chance,
        "classes": [
            {"class": name, "lost": one.lost, "of": one.lambs, "expected": one.expected, "beyond": one.beyond,
             "share_allowing_for_chance": one.share, "stands_out": one.stands_out}
            for name, one in difference.against.items()
        ],
    }


def _figure(figure: Figure) -> dict[str, object]:
    return {
        "id": figure.id, "label": figure.label, "value": figure.value, "unit": figure.unit, "numerator": figure.numerator,
        "denominator": figure.denominator, "low": figure.low, "high": figure.high,
        "known": figure.known, "of": figure.of, "least": figure.least, "most": figure.most, "definition": figure.definition,
    }


def _group(account: GroupAccount) -> dict[str, object]:
    return {
        "group": account.group, "how_recorded": account.how_recorded, "by_count": account.by_count, **account.lines,
        "steps": [
            {"from": step.before.stage, "to": step.after.stage, "before": step.before.lambs, "after": step.after.lambs,
             "lost": step.lost, "sold": step.sold, "moved": step.moved, "more": step.more, "basis": step.after.basis,
             "words": step.words}
            for step in account.steps
        ],
        "words": account.words,
    }


def _ewe(result: Result, key: str) -> dict[str, object]:
    decision, score = result.decisions[key], result.mothering.get(key)
    mothering = None if score is None else {
        "score": score.score, "coverage": score.coverage, "word": score.word, "place": score.place,
        "of_class": score.of_class, "above_class": score.above_class,
        "parts": [{"id": part.id, "points": part.points, "most": part.most, "recorded": part.recorded, "reason": part.reason}
                  for part in score.parts],
    }
    return {
        "ewe": decision.name, "decision": decision.verdict.label, "provisional": decision.provisional,
        "checked": list(decision.checked), "not_checked": list(decision.not_checked),
        "reasons": [
            {"rule": reason.rule, "value": reason.value, "cells": [str(cell) for cell in reason.cells]}
            for reason in decision.reasons
        ],
        "last_years": list(result.years.get(key, ())),
        "withdrawal": {"ends": decision.withdrawal.ends, "unknown": decision.withdrawal.unknown}, "unfit": decision.unfit,
        "mothering": mothering, "litter": _litter(result, key),
    }


def _lamb(lamb: Lamb, one: LambAgainst) -> dict[str, object]:
    """A weaning weight in kg, at one age where `adjusted`, what lambs like it weigh in this flock, and the difference."""
    return {
        "ewe": lamb.record.text("ewe"), "lamb_no": lamb.number, "tag": lamb.tag, "sex": lamb.sex.label if lamb.sex else None,
        "kg": one.kg, "expected": one.expected, "difference": one.against.deviation, "adjusted": one.adjusted,
        "compared": one.against.words, "cells": [str(cell) for cell in one.weight.cells],
    }


def _litter(result: Result, key: str) -> dict[str, object] | None:
    """Kilograms weaned, what like lambs weigh, the difference, and that over her seasons; None where there is none of it."""
    litter, against, across = (
        result.rearing.litters.get(key), result.rearing.against(key), result.rearing.across.get(key))
    if litter is None and across is None:
        return None
    kg, difference = litter.kg if litter else None, against.deviation if against else None
    return {
        "kg": kg, "reared": litter.reared if litter else None,
        "expected": None if kg is None or difference is None else kg - difference, "difference": difference,
        "compared": against.words if against else "",
        "over_seasons": across.kg if across else None, "seasons": across.seasons if across else 0,
    }


def _dump(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1, default=_plain, allow_nan=False)


def _plain(value: object) -> str:
    if isinstance(value, date | datetime):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} cannot be written as JSON")


def headline(result: Result) -> str:
    """The season in a few lines for the terminal."""
    figures = {figure.id: figure for figure in result.figures}
    lines = [f"{result.season.file}: {note}" for note in result.season.left_alone]
    lines += filter(None, [open_conflicts_words(result.problems)])
    lines += [f"{result.season.title or result.season.file}: {result.stage}", count_words(result.problems)]
    for id in _BEFORE_LAMBING if result.stage in (BEFORE, NOTHING) else _HEADLINES:
        figure = figures.get(id)
        if figure is not None and figure.value is not None:
            lines.append(_figure_line(figure))
    if result.stage == NOTHING:
        return "\n".join([*lines, NOTHING_WRITTEN])
    verdicts = Counter(decision.verdict for decision in result.decisions.values())
    told = ", ".join(f"{number} {verdict.label}" for verdict, number in sorted(verdicts.items(), key=_strictest))
    provisional = any(decision.provisional for decision in result.decisions.values())
    lines.append(f"ewes: {told}{' (provisional)' if provisional else ''}")
    return "\n".join(lines)


def _figure_line(figure: Figure) -> str:
    """A figure in a line: no per cent of under ten animals, and on how much it rests where that is not all."""
    unit = f" {SHARE_UNIT}" if figure.unit == SHARE_UNIT else ""  # another unit is in its name
    value = FEW_WORD if figure.few else f"{figure.value:.1f}{unit}"
    partly = f" ({figure.partly})" if figure.partly else ""
    return f"{label(figure)}: {value}{partly}"


def _strictest(counted: tuple[Verdict, int]) -> int:
    return list(Verdict).index(counted[0])
