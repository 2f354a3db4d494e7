"""Problems as lines: a slip made by habit is one line for its column and kind, so that the one real error stands in sight.

What is told in text, on To correct of both workbooks is folded here and nowhere else.
"""

import re
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from workbook.rules.rule import Problem, Severity

MOST_ALIKE = 5  # problems of one rule that stand each on a line of its own; of more, a habit is one line (house rule)
FIRST_NAMED = 5  # cells, and values, that such a line names (house rule)
_QUOTED = re.compile("“[^”]*”")
_DAY = re.compile(r"\b\d{1,2} (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) \d{4}\b")
_DIGIT, _WORDS = re.compile(r"\d"), re.compile(r"\S+")
_ANY = "#"
_ANY_MORE = re.compile(rf"{_ANY}(?:\s+{_ANY})+")
_SEVERITIES = {severity: number for number, severity in enumerate(Severity)}


@dataclass(frozen=True)
class Line:
    """One problem, or all that are alike, in the order of their cells."""

    problems: tuple[Problem, ...]

    @property
    def first(self) -> Problem:
        return self.problems[0]

    @property
    def many(self) -> bool:
        return len(self.problems) > 1

    @property
    def more(self) -> str:
        """How many more there are like the first, and which come next."""
        return more_like_it([(one.place.sheet, one.place.cell) for one in self.problems])

    @property
    def values(self) -> str:
        """What is written in its cells, the commonest first."""
        return commonest(one.found.value for one in self.problems)


def more_like_it(places: Sequence[tuple[str, str]]) -> str:
    """How many more there are like the first sheet and cell, and which: "and 99 more like it: D5, D6, D7, D8, D9 and 94 more"."""
    (here, _), *rest = places
    named = [cell if cell and sheet == here else f"{sheet}!{cell}" if cell else sheet for sheet, cell in rest]
    return f"and {len(rest)} more like it: {_some(named)}" if rest else ""


def commonest(values: Iterable[str]) -> str:
    """The values, those that stand there most often first."""
    return _some([value for value, _ in Counter(values).most_common()])


def _some(words: Sequence[str]) -> str:
    more = len(words) - FIRST_NAMED
    return f"{', '.join(words[:FIRST_NAMED])} and {more} more" if more > 0 else ", ".join(words)


def lines_of(problems: Sequence[Problem], *, fold: bool = True) -> list[Line]:
    """Errors, warnings, notes; of each those that stand alone, then the folded ones; each in the order given.

    Of a rule with more than MOST_ALIKE problems there is one line for each column and kind of slip; where one column has
    more kinds than that, one for the column; where notes of one rule still take more, one for them all.
    """
    lines = [Line((problem,)) for problem in problems]
    if fold:
        lines = _together(lines, _rule, _kind)
        lines = _together(lines, _column, _column)
        lines = _together(lines, _note, _note)
    order = {id(problem): number for number, problem in enumerate(problems)}
    lines = [Line(tuple(sorted(line.problems, key=lambda one: order[id(one)]))) for line in lines]
    return sorted(lines, key=lambda line: (_SEVERITIES[line.first.rule.severity], line.many))


def _together(lines: Sequence[Line], within: Callable[[Line], Hashable], alike: Callable[[Line], Hashable]) -> list[Line]:
    """Where more than MOST_ALIKE lines stand within the same, those that are alike as one, where the first of them stands."""
    many = Counter(map(within, lines))
    groups: dict[Hashable, list[Line]] = {}
    for number, line in enumerate(lines):
        groups.setdefault(alike(line) if many[within(line)] > MOST_ALIKE else number, []).append(line)
    return [Line(tuple(problem for line in group for problem in line.problems)) for group in groups.values()]


def _rule(line: Line) -> str:
    return line.first.rule.id


def _column(line: Line) -> tuple[str, str, int]:
    place = line.first.place
    return line.first.rule.id, place.sheet, place.column


def _note(line: Line) -> Hashable:
    """The rule of a note, which asks for nothing; an error or warning keeps its column to itself."""
    return line.first.rule.id if line.first.rule.severity is Severity.NOTE else _column(line)


def _kind(line: Line) -> tuple[Hashable, str]:
    """The column, and what is wrong whatever the number, the day, the animal and the value: two slips of a kind say the same."""
    found = line.first.found
    text = _QUOTED.sub(lambda quoted: _ANY if _DIGIT.search(quoted[0]) else "“”", found.text)
    text = _WORDS.sub(lambda word: _ANY if _DIGIT.search(word[0]) else word[0], _DAY.sub(_ANY, text))
    for word in (found.value, found.row_name, found.row_name.rpartition("-")[0]):
        if word and not _DIGIT.search(word):
            text = _word(word).sub(_ANY, text)
    return _column(line), _ANY_MORE.sub(_ANY, text)


@lru_cache(maxsize=1024)
def _word(word: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(word)}(?!\w)")
