"""A season in one line: how far it is, how fresh its records, what is wrong in them, what stops a decision."""

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date, datetime

from template_builder.layout.choices import Verdict
from template_builder.layout.words import so_many
from workbook.many.line import Counted, Kind, Line
from workbook.output.problem_text import open_conflicts_words
from workbook.results.litters.figures import NOTHING, Figure
from workbook.results.pipeline import Result
from workbook.rules.rule import Severity
from workbook.season.season import Season

HEADLINES = {
    "scanning_pct_scanned": "Scanned", "litter_born": "Born per ewe", "total_loss_pct": "Lambs lost, scan to weaning",
    "loss_live_born_pct": "Live-born lambs lost", "reared_pct": "Reared", "ewe_deaths_pct": "Ewes died",
}
_RECORDED_ON = ("lambing", "lambs", "weights", "counts", "ewe_check", "treatments")


def season_line(result: Result) -> Line:
    """The line of a season; nothing in it names the file, which may come back under another name."""
    season = result.season
    newest = max(_days(season), default=None)
    figures = {figure.id: figure for figure in result.figures}
    return Line(
        Kind.SEASON, "; ".join(season.left_alone), season.settings.text("flock"), season.year, result.stage,
        newest.isoformat() if newest else "", season.as_of.isoformat(),
        sum(ewe.record is not None for ewe in season.flock.ewes.values()),
        _by_rule(result, Severity.ERROR), _by_rule(result, Severity.WARNING), tuple(_stops(result)),
        tuple(_counted(figures[id]) for id in HEADLINES if id in figures),
    )


def _days(season: Season) -> Iterator[date]:
    """Every day something is recorded for; one after the season's moment is a slip, or still to come."""
    for sheet in _RECORDED_ON:
        for row in season.rows(sheet):
            for column, value in row.values.items():
                if isinstance(value, date) and column not in row.issued:
                    day = value.date() if isinstance(value, datetime) else value
                    if day <= season.as_of.date():
                        yield day


def _by_rule(result: Result, severity: Severity) -> dict[str, int]:
    """How often each rule of a severity found something, most often first."""
    counts = Counter(problem.rule.id for problem in result.problems if problem.rule.severity is severity)
    return dict(sorted(counts.items(), key=lambda one: (-one[1], one[0])))


def _stops(result: Result) -> Iterator[str]:
    """What keeps the decisions on ewes from being final, in words."""
    if words := open_conflicts_words(result.problems):
        yield words.split(":")[0]
    errors = sum(problem.rule.severity is Severity.ERROR for problem in result.problems)
    if errors:
        yield f"{so_many(errors, 'error')} to correct"
    if result.stage == NOTHING:
        yield "nothing written yet"
    elif not result.decisions:
        yield "no ewe is recorded by number"
    provisional = sum(decision.provisional for decision in result.decisions.values())
    if provisional:
        yield f"provisional for {so_many(provisional, 'ewe')}: {result.stage}"
    unknown = sum(decision.verdict is Verdict.UNKNOWN for decision in result.decisions.values())
    if unknown:
        yield f"nothing recorded about {so_many(unknown, 'ewe')}"
    unchecked = Counter(part for decision in result.decisions.values() for part in decision.not_checked)
    if unchecked:
        yield f"not looked at: {', '.join(not_looked_at(unchecked))}"
    if result.skipped:
        yield f"{len(result.skipped)} checks not run for want of columns"


def not_looked_at(unchecked: Mapping[str, int]) -> Iterator[str]:
    """Parts of as many ewes together, of the most first: "feet and mouth of 204 ewes", "scanning of 8"."""
    numbers = sorted(set(unchecked.values()), reverse=True)
    for number in numbers:
        parts = sorted(part for part, ewes in unchecked.items() if ewes == number)
        whom = so_many(number, "ewe") if number == numbers[0] else str(number)
        yield f"{' and '.join(filter(None, (', '.join(parts[:-1]), parts[-1])))} of {whom}"


def _counted(figure: Figure) -> Counted:
    value = None if figure.few else figure.value
    return Counted(figure.id, figure.unit, value, figure.numerator, figure.denominator, figure.few, figure.so_far)
