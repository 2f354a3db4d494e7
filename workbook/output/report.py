"""Results as CSV and JSON, and in a few lines. Dates are ISO, text is UTF-8, a number not defined is null."""

import csv
import io
import json
from collections import Counter

from template_builder.layout.choices import Verdict
from workbook.output.data.problems import CHECK, PROBLEM, Report
from workbook.output.data.whole import ANALYSE
from workbook.output.problem_text import EVERYTHING, Asked, count_words, open_conflicts_words
from workbook.output.summary.phrases import FEW_WORD, NOTHING_WRITTEN, SHARE_UNIT, label
from workbook.results.litters.figures import BEFORE, NOTHING, Figure
from workbook.results.pipeline import Checked, Result

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
_HEADLINES = ("scanning_pct_scanned", "litter_born", "total_loss_pct", "loss_live_born_pct", "reared_pct")
_BEFORE_LAMBING = ("scanning_pct_ram", "scanning_pct_scanned", "litter_scanned", "empty_pct")
_CSV_HEADINGS = ("file", *(field.name for field in PROBLEM.fields))


def as_csv(checked: Checked, asked: Asked = EVERYTHING, *, path: str = "", headings: bool = True) -> str:
    """The problems asked for as CSV. A value that begins like a formula has an apostrophe put in front, so that it stays text.

    `path` is what the file is called there, else its name; the lines of a further file have no `headings`.
    """
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    if headings:
        writer.writerow(_CSV_HEADINGS)
    for problem in asked.of(checked.problems):
        row = {**PROBLEM.made(problem), "file": path or checked.season.file, "also": "; ".join(map(str, problem.found.also))}
        writer.writerow([_safe(str(row[heading])) for heading in _CSV_HEADINGS])
    return buffer.getvalue()


def csv_headings() -> str:
    """The first line of the problems as CSV."""
    return ",".join(_CSV_HEADINGS) + "\n"


def _safe(value: str) -> str:
    return f"'{value}" if value.startswith(_FORMULA_STARTS) else value


def as_json(checked: Checked, asked: Asked = EVERYTHING) -> str:
    """The problems asked for as JSON."""
    return _dump(CHECK.made(Report(checked.season.file, tuple(asked.of(checked.problems)), checked.skipped)))


def result_json(result: Result) -> str:
    """All figures, the litter account, and each ewe's decision and score as JSON."""
    return _dump(ANALYSE.made(result))


def _dump(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False)


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
