"""Read a summary workbook back: what the meeting decided about each ewe, and the rules as they were set there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from template_builder.files.guard import Unreadable
from template_builder.files.opening import Cell, Cells, open_cells
from template_builder.layout.choices import Action, Choice, Compare, OnOff, When, YesNo
from template_builder.layout.decided import (
    CHANGEABLE,
    COMMENT,
    EWE,
    FINAL,
    KEEP,
    KEY,
    LAMB,
    OWN_WORD,
    POLICY_TITLES,
    READ_BACK,
    RULE_TITLE,
    WHY,
)
from template_builder.layout.policy import WEIGHTS, SelectionRule, Weight
from template_builder.layout.summary_tabs import EWE_DECISIONS, POLICY, RECORD_TABS, REPLACEMENTS, is_summary
from template_builder.layout.words import quoted, so_many_are
from workbook.reading.parsed import in_words
from workbook.season.cells import CellRef
from workbook.season.decided import Decided, NotTaken, OwnWord, row_mark
from workbook.season.matching import fold
from workbook.season.season import Policy, PolicyRule, Season

_LISTS: Mapping[str, type[Choice]] = {"on": OnOff, "compare": Compare, "action": Action, "at_mating": Action, "when": When}
_CHOOSE = "; ".join(verdict.label for verdict in FINAL)


def read_decisions(path: Path, season: Season) -> Decided:
    """What the summary workbook at `path` says was decided about the ewes of this season. Raises Unreadable.

    What cannot be taken as it stands is among the problems, each with its cell; nothing of it is guessed.
    """
    return decisions_in(open_cells(path, RECORD_TABS), season)


def decisions_in(cells: Cells, season: Season) -> Decided:
    """The same from the cells of the workbook, wherever they came from."""
    if not is_summary(cells.tabs):
        raise Unreadable(f"{cells.file} is not a summary workbook: give the one that analyse wrote and the meeting filled in.")
    ewes = _Table.found(cells, EWE_DECISIONS, READ_BACK) if EWE_DECISIONS in cells.tabs or season.flock.ewes else None
    rules = _Table.found(cells, POLICY, (RULE_TITLE, KEY, *POLICY_TITLES.values()))
    reader = _Reader(season)
    if ewes:  # of a flock known by counts only there is none to decide on
        reader.read_ewes(ewes)
    if REPLACEMENTS in cells.tabs:
        reader.read_lambs(_Table.found(cells, REPLACEMENTS, (LAMB, KEEP)))
    policy = reader.policy(rules)
    problems = sorted(reader.problems, key=lambda problem: problem.place)
    return Decided(cells.file, reader.own_words, reader.comments, policy, tuple(problems), tuple(reader.kept))


@dataclass(frozen=True)
class _Table:
    """The rows under the headings of a tab, each heading found by its words."""

    file: str
    tab: str
    top: int
    columns: Mapping[str, int]
    rows: Mapping[int, Mapping[int, Cell]]

    @classmethod
    def found(cls, cells: Cells, tab: str, titles: Sequence[str]) -> "_Table":
        """Raises Unreadable where a heading is missing."""
        lines = {number: {cell.column: cell for cell in row} for number, row in cells.tabs.get(tab, ())}
        best: tuple[int, Mapping[str, int]] = (0, {})
        for number, row in lines.items():
            said = {fold(str(cell.value)): column for column, cell in row.items() if isinstance(cell.value, str)}
            columns = {title: said[fold(title)] for title in titles if fold(title) in said}
            best = max(best, (number, columns), key=lambda one: len(one[1]))
        missing = [title for title in titles if title not in best[1]]
        if missing:
            raise Unreadable(
                f"{cells.file} has no {_said(missing[0])} among the headings of {tab}: put the heading back, or run analyse "
                "again and fill in the summary it writes.")
        return cls(cells.file, tab, *best, {number: row for number, row in lines.items() if number > best[0]})

    def value(self, row: int, title: str) -> object:
        """What stands in a cell, None for a blank one; the code of an error as words."""
        cell = self.rows[row].get(self.columns[title])
        if cell is None or (isinstance(cell.value, str) and not cell.value.strip()):
            return None
        return cell.value

    def words(self, row: int, title: str) -> str:
        value = self.value(row, title)
        return "" if value is None else " ".join(in_words(value).split())

    def at(self, row: int, title: str) -> CellRef:
        return CellRef(self.file, self.tab, row, self.columns[title])


@dataclass
class _Reader:
    """Collects what was decided, and what could not be taken."""

    season: Season
    own_words: dict[str, OwnWord] = field(default_factory=dict)
    comments: dict[str, str] = field(default_factory=dict)
    problems: list[NotTaken] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)

    def read_ewes(self, table: _Table) -> None:
        strangers = []
        said: dict[str, list[int]] = {}
        for row in table.rows:
            name, key, written = table.words(row, EWE), table.words(row, KEY), _written_in(table, row)
            if not name and not key:
                if written:
                    self._wrong(table.at(row, EWE), f"no ewe stands beside {written}, which is not taken: write it in her row")
            elif row_mark(name) != key:
                self._sorted_apart(table, row, name, written)
            elif (ewe := self._ewe(name)) is None:
                strangers.append((row, name, written))
            elif written:
                said.setdefault(ewe, []).append(row)
        self._strangers(table, strangers)
        for ewe, rows in said.items():
            self._of(ewe, table, rows)

    def read_lambs(self, table: _Table) -> None:
        """The ewe lambs chosen, each by the name in her row."""
        for row in table.rows:
            name, word = table.words(row, LAMB), fold(table.words(row, KEEP))
            if not name or word in ("", fold(YesNo.NO.label)):
                continue
            if word != fold(YesNo.YES.label):
                self._wrong(table.at(row, KEEP), f"{_said(table.words(row, KEEP))} says neither yes nor no of ewe lamb {name}: "
                            "choose yes to keep her, or leave it blank")
            elif self.season.flock.lamb_called(name) is None:
                self._wrong(table.at(row, LAMB), f"there is no lamb {name} in {self.season.file}: correct the number, or give "
                            "the summary that was made from this season")
            else:
                self.kept.append(name)

    def _ewe(self, name: str) -> str | None:
        """The key of the ewe of this season that is meant, None where there is none."""
        key = self.season.flock.names.match(name).key
        return key if key in self.season.flock.ewes else None

    def _of(self, ewe: str, table: _Table, rows: Sequence[int]) -> None:
        """What was decided about one ewe, who should stand there once."""
        first, *more = rows
        if more:
            also = ", ".join(f"row {row}" for row in more)
            self._wrong(table.at(first, EWE), f"ewe {table.words(first, EWE)} stands here and in {also}, and something is "
                        "written in each: nothing of it is taken; leave one row")
            return
        if comment := table.words(first, COMMENT):
            self.comments[ewe] = comment
        word, why = table.words(first, OWN_WORD), table.words(first, WHY)
        if not word:
            if why:
                self._wrong(table.at(first, WHY), f"a reason stands beside ewe {table.words(first, EWE)}, but no decision: "
                            f"choose {_CHOOSE}, or write it as a comment")
            return
        verdict = next((verdict for verdict in FINAL if fold(verdict.label) == fold(word)), None)
        if verdict is None:
            self._wrong(table.at(first, OWN_WORD), f"{_said(word)} is no decision about ewe {table.words(first, EWE)}: "
                        f"choose {_CHOOSE}")
        else:
            self.own_words[ewe] = OwnWord(verdict, why, table.at(first, OWN_WORD))

    def _sorted_apart(self, table: _Table, row: int, name: str, written: str) -> None:
        """The hidden key beside a ewe is another's: a column was sorted without the rest, or a number typed over."""
        lost = f"; {written} is not taken" if written else ""
        self._wrong(table.at(row, EWE), f"ewe {name or 'blank'} stands in the row of another ewe, as after sorting one column "
                    f"without the others{lost}: undo the sorting, or write the decision anew")

    def _strangers(self, table: _Table, found: Sequence[tuple[int, str, str]]) -> None:
        """Ewes that the season does not have: each about whom something is written, and the others counted."""
        for row, name, written in found:
            if written:
                self._wrong(table.at(row, EWE), f"ewe {name} is not in {self.season.file}; {written} is not taken: correct her "
                            "number, or give the summary that was made from this season")
        rest = [row for row, _, written in found if not written]
        if rest:
            said = "of this summary, about whom nothing is written,"
            ewes = so_many_are(len(rest), "ewe", f"{said} is", f"{said} are")
            self._wrong(table.at(rest[0], EWE), f"{ewes} not in {self.season.file}: was the summary made from another season?")

    def _wrong(self, place: CellRef, text: str) -> None:
        self.problems.append(NotTaken(place, text))

    def policy(self, table: _Table) -> Policy:
        """The rules and weights as they stand; what cannot be read stands as in the season workbook."""
        rows = {table.words(row, KEY): row for row in table.rows if table.words(row, KEY)}
        rules = []
        for placed in self.season.policy.rules:
            row = rows.get(placed.rule.id)
            if row is None:
                self._wrong(CellRef(table.file, table.tab, table.top, 0), f"the row of the rule {_said(placed.rule.title)} is "
                            "gone: it stands as in the season workbook")
                rules.append(placed)
            else:
                rules.append(PolicyRule(self._rule(placed.rule, table, row), table.at(row, POLICY_TITLES["limit"])))
        own = self.season.policy.weights
        return Policy(tuple(rules), {weight.id: self._weight(weight, own[weight.id], table, rows) for weight in WEIGHTS})

    def _weight(self, weight: Weight, before: float, table: _Table, rows: Mapping[str, int]) -> float:
        """A number the scores are made with; what cannot be read stands as in the season workbook."""
        if weight.id not in rows:
            return before
        title = POLICY_TITLES["limit"]
        found = _number(table.value(rows[weight.id], title))
        if found is None:
            self._wrong(table.at(rows[weight.id], title), f"{title} of {_said(weight.title)} is no number, so "
                        f"{_said(f'{before:g}')} stands: write a number")
        return before if found is None else found

    def _rule(self, rule: SelectionRule, table: _Table, row: int) -> SelectionRule:
        found: dict[str, Any] = {id: self._set(id, rule, table, row) for id in CHANGEABLE}
        return replace(rule, **found)

    def _set(self, id: str, rule: SelectionRule, table: _Table, row: int) -> Choice | float | None:
        """One cell of a rule."""
        title = POLICY_TITLES[id]
        value = table.value(row, title)
        if value is None and id == "at_mating":
            return None  # the same as before
        found = _one_of(id, value)
        if found is not None:
            return found
        stands: Choice | float | None = getattr(rule, id)
        says = "is blank" if value is None else f"says {_said(in_words(value))}"
        choose = "write a number" if id == "limit" else "choose " + "; ".join(choice.label for choice in _LISTS[id])
        shown = f"{stands:g}" if isinstance(stands, float) else str(stands)
        self._wrong(table.at(row, title), f"{title} of {_said(rule.title)} {says}, so {_said(shown)} stands: {choose}")
        return stands


def _written_in(table: _Table, row: int) -> str:
    """What somebody wrote in a row, in words for a sentence."""
    found = [table.words(row, title) for title in (OWN_WORD, WHY, COMMENT)]
    return ", ".join(_said(words) for words in found if words)


def _one_of(id: str, value: object) -> Choice | float | None:
    """The value of a changeable cell, None where it says nothing that can be taken."""
    if id == "limit":
        return _number(value)
    word = fold(in_words(value)) if value is not None else ""
    return next((choice for choice in _LISTS[id] if fold(choice.label) == word), None)


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _said(words: str) -> str:
    """Words as they were found, in quotes."""
    return f"“{quoted(words)}”"
