"""Decisions as formulas: whatever is set on Policy and typed beside a ewe, the cells say what Python says.

200 random settings are worked out from the formulas; some are typed into the workbook and worked out by LibreOffice.
"""

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import pytest
from every_rule import every_rule
from office import all_changed, taken
from openpyxl import load_workbook

from demo_workbooks import CLEAN, FOLDER
from template_builder.layout.choices import Action, Compare, OnOff, Verdict, When
from template_builder.layout.decided import FINAL, OWN_WORD, POLICY_TITLES
from template_builder.layout.policy import EVIDENCE_BY_ID, RULES, SelectionRule
from template_builder.layout.summary_tabs import EWE_DECISIONS, MEETING, POLICY
from template_builder.live.columns import names_in
from workbook.output.summary.book import write_summary
from workbook.output.summary.ewe_decisions import FINAL_WORD, in_order_of_verdict, printed_columns
from workbook.output.summary.live.ewes import MOST_REASONS, NO_FAULT, OUT_OF_PLACE
from workbook.output.summary.live.given import live_decisions, policy_cells
from workbook.output.summary.live.lists import FINAL as FINAL_COUNTS
from workbook.output.summary.live.lists import MOVED, NOT_READ, RECOMMENDED
from workbook.output.summary.live.named import BEFORE, MOST_ADDED
from workbook.output.summary.live.pen import NOT_READ as NOT_READ_IN_PEN
from workbook.output.summary.live.pen import TITLES
from workbook.output.summary.live.values import LiveDecisions
from workbook.output.summary.live.which import GOING, MORE, MORE_WORDS, MOST_NAMED, NUMBERS_ON, OWN_WORDS
from workbook.reading.season_file import read
from workbook.results.advice.decisions import Reason, before_she_goes, judged
from workbook.results.pipeline import Result, analyse
from workbook.season.season import Policy

SETTINGS = 200
WORDS = [verdict.label for verdict in Verdict]
GOING_WORDS = [verdict.label for verdict in GOING]
GOES_WORDS = (Verdict.CULL.label, Verdict.DRAFT.label)
LIMITS = (0, 0.5, 1, 1, 1, 1.5, 2, 2.5, 3)
TYPED = (*[None] * 7, "cull", "draft", "watch", "keep", " Keep ", "CULL", "sell her", "not known", "?")


@dataclass(frozen=True)
class Setting:
    """What somebody set on Policy and typed beside the ewes."""

    policy: Policy
    own_words: tuple[str | None, ...]


@cache
def clean() -> Result:
    return analyse(read(FOLDER / CLEAN))


def setting(seed: int, result: Result) -> Setting:
    """Some of the rules set otherwise, and some ewes decided on; now and then all rules are."""
    rng = random.Random(seed)
    share = rng.choice((0.1, 0.3, 1.0))
    rules = tuple(replace(placed, rule=_set(placed.rule, rng) if rng.random() < share else placed.rule)
                  for placed in result.season.policy.rules)
    words = tuple(rng.choice(TYPED) if rng.random() < share else None for _ in result.decisions)
    return Setting(replace(result.season.policy, rules=rules), words)


def _set(rule: SelectionRule, rng: random.Random) -> SelectionRule:
    at_mating = rng.choice([*Action, None]) if EVIDENCE_BY_ID[rule.evidence].last_look else rule.at_mating
    return replace(
        rule, on=rng.choice([OnOff.ON, OnOff.ON, OnOff.ON, OnOff.OFF]), limit=rng.choice(LIMITS), action=rng.choice(list(Action)),
        compare=rng.choice([Compare.AT_LEAST] * 5 + [Compare.AT_MOST]), when=rng.choice(list(When)), at_mating=at_mating)


@dataclass(frozen=True)
class Told:
    """What is said of a ewe: verdict, reasons in words, the rule that decides, and the final decision."""

    verdict: str
    reasons: str
    decider: int
    final: str


def by_python(result: Result, given: Setting) -> list[Told]:
    rules = [placed.rule for placed in given.policy.rules]
    found = []
    for decision, word in zip(in_order_of_verdict(result), given.own_words, strict=True):
        verdict, reasons = judged(decision.facts, rules)
        acts = bool(reasons) and reasons[0].action is not Action.NOTE
        decider = [rule.id for rule in rules].index(reasons[0].rule) + 1 if acts else 0
        found.append(Told(verdict.label, in_words(verdict, reasons), decider, final(verdict, word)))
    return found


def in_words(verdict: Verdict, reasons: Sequence[Reason]) -> str:
    said = [("note: " if reason.action is Action.NOTE else "") + reason.text for reason in reasons]
    if not said:
        return Verdict.UNKNOWN.meaning if verdict is Verdict.UNKNOWN else NO_FAULT
    more = len(said) - MOST_REASONS
    return "; ".join([*said[:MOST_REASONS], *([f"and {more} more"] if more > 0 else [])])


def final(verdict: Verdict, word: str | None) -> str:
    """What somebody decided, else the verdict; what is outside the list is shown."""
    plain = (word or "").strip()
    if not plain:
        return verdict.label
    return next((one.label for one in FINAL if one.label == plain.casefold()), f"? {plain}")


def lived(result: Result, given: Setting) -> LiveDecisions:
    return live_decisions(in_order_of_verdict(result), result.season.policy, printed_columns(result), given.own_words,
                          policy_cells(given.policy))


def by_formulas(live: LiveDecisions) -> list[Told]:
    columns = [live.column("decisions", id) for id in ("verdict", "reasons", "decider", "final")]
    return [Told(str(a), str(b), int(c), str(d)) for a, b, c, d in zip(*columns, strict=True)]


def moved_since(result: Result, told: Sequence[Told]) -> int:
    """Ewes that stand elsewhere than when the summary was written."""
    return sum(one.final != was.verdict.label for one, was in zip(told, in_order_of_verdict(result), strict=True))


@pytest.mark.parametrize("seed", range(SETTINGS // 10))
def test_verdicts_reasons_and_counts_are_what_python_says(seed: int) -> None:
    for result in (every_rule(), clean()) if seed < SETTINGS // 20 else (every_rule(),):
        for one in range(10 * seed, 10 * seed + 10):
            given = setting(one, result)
            live, wanted = lived(result, given), by_python(result, given)
            assert wanted == by_formulas(live)
            verdicts, finals = Counter(told.verdict for told in wanted), Counter(told.final for told in wanted)
            assert {verdict: verdicts[verdict.label] for verdict in Verdict} == {
                verdict: live.cell(cell) for verdict, cell in RECOMMENDED.items()}
            assert {verdict: finals[verdict.label] for verdict in Verdict} == {
                verdict: live.cell(cell) for verdict, cell in FINAL_COUNTS.items()}
            assert sum(told.final.startswith("? ") for told in wanted) == live.cell(NOT_READ)
            assert moved_since(result, wanted) == live.cell(MOVED)


def test_each_rule_decides_a_ewe_in_one_of_the_settings_and_many_ewes_move() -> None:
    decided: Counter[int] = Counter()
    moved = []
    for seed in range(SETTINGS):
        told = by_python(every_rule(), setting(seed, every_rule()))
        decided.update(one.decider for one in told)
        moved.append(moved_since(every_rule(), told))
    assert set(range(1, len(RULES) + 1)) <= decided.keys()
    assert min(moved) >= 0 and max(moved) > len(every_rule().decisions) // 2 and sum(moved) > 10 * SETTINGS


def as_it_was(result: Result) -> Setting:
    return Setting(result.season.policy, (None,) * len(result.decisions))


def test_nothing_has_moved_before_anybody_changed_anything() -> None:
    for result in (every_rule(), clean()):
        live = lived(result, as_it_was(result))
        assert [decision.verdict.label for decision in in_order_of_verdict(result)] == live.column("decisions", "verdict")
        assert 0 == live.cell(MOVED) == live.cell(NOT_READ)


def lines_of_page_one(result: Result, given: Setting) -> list[tuple[str, str]]:
    """Each decision with its number, below it the reasons that decide, most ewes first, with their numbers."""
    found = {verdict: {} for verdict in GOING}
    finals = Counter()
    for decision, told, word in zip(in_order_of_verdict(result), by_python(result, given), given.own_words, strict=True):
        finals[told.final] += 1
        if told.final in [verdict.label for verdict in GOING]:
            own = bool((word or "").strip()) and told.final != told.verdict
            reason = len(RULES) if own else told.decider - 1
            found[Verdict[told.final.upper()]].setdefault(reason, []).append(decision.name)
    lines = []
    for verdict, reasons in found.items():
        lines.append((f"{verdict.label} {finals[verdict.label]}", ""))
        for reason, names in sorted(reasons.items(), key=lambda one: (-len(one[1]), one[0])):
            more = len(names) - MOST_NAMED
            named = "  ".join(sorted(names, key=int)[:MOST_NAMED]) + (f"  and {more} more" if more > 0 else "")
            lines.append(([*(rule.title for rule in RULES), OWN_WORDS][reason], named))
    unread = sum(number for final, number in finals.items() if final.startswith("? "))
    lines.append((f"keep {finals['keep']}", f"{f'cannot be read {unread}, ' if unread else ''}{NUMBERS_ON}"))
    return lines


@pytest.mark.parametrize("seeds", [range(20), range(20, 40)])
def test_page_one_names_every_ewe_to_go_or_to_watch_under_the_reason_that_decides(seeds: Sequence[int]) -> None:
    too_many = 0
    for seed in seeds:
        given = setting(seed, clean())
        live = lived(clean(), given)
        live.given("which", "room", [MOST_NAMED] * 30)
        wanted = lines_of_page_one(clean(), given)
        columns = (live.column("which", id) for id in ("said", "ewes"))
        found = [(str(said), str(ewes)) for said, ewes in zip(*columns, strict=True)]
        if len(wanted) > 30:
            wanted = [*wanted[:29], (MORE, MORE_WORDS)]
            too_many += 1
        assert wanted == found[:len(wanted)]
        assert {("", "")} >= set(found[len(wanted):])
    assert too_many < len(seeds)


@pytest.mark.parametrize(("ewes", "named"), [(3, 3), (4, 4), (5, 2)])
def test_where_more_is_told_there_is_room_for_it(ewes: int, named: int) -> None:
    live = lived(clean(), as_it_was(clean()))
    live.given("which", "room", [4] * 30)
    live.given("which", "fewer", [2] * 30)
    numbers = dict(zip(live.column("which", "number"), live.column("which", "ewes"), strict=True))
    told, _, more = str(numbers[ewes]).partition("  and ")
    assert (named, f"{ewes - named} more" if named < ewes else "") == (len(told.split("  ")), more)


@pytest.mark.parametrize("left", [-1, 0, 1])
def test_what_no_line_is_left_for_is_told_on_the_last(left: int) -> None:
    wanted = [line for line, _ in lines_of_page_one(clean(), as_it_was(clean()))]
    lines = len(wanted) + left
    live = lived(clean(), as_it_was(clean()))
    live.given("which", "room", [2] * lines)
    expected = [*wanted[:lines - 1], MORE] if left < 0 else [*wanted, *[""] * left]
    assert expected == live.column("which", "said")[:lines]
    more = [str(ewes) for ewes in live.column("which", "ewes") if str(ewes).endswith(" more")]
    assert more and all(ewes.count("  ") == 2 for ewes in more)


def test_every_ewe_stands_once_on_the_list_for_the_pen_under_what_is_decided_by_number() -> None:
    for seed in range(20):
        given = setting(seed, clean())
        live = lived(clean(), given)
        wanted: dict[str, list[str]] = {}
        for decision, told in zip(in_order_of_verdict(clean()), by_python(clean(), given), strict=True):
            wanted.setdefault(NOT_READ_IN_PEN if told.final.startswith("? ") else told.final, []).append(decision.name)
        sheet = live.sheets["pen"]
        numbers = [live.column("pen", column.id) for column in sheet.columns if column.id.startswith("ewe_")]
        found: dict[str, list[str]] = {}
        under = ""
        for heading, *ewes in zip(live.column("pen", "heading"), *numbers, strict=True):
            under = str(heading) or under
            found.setdefault(under, []).extend(str(ewe) for ewe in ewes if ewe)
            assert not (heading and any(ewes))
        assert {f"{title}: {len(names)}": sorted(names, key=int) for title, names in wanted.items()} == found
        assert [title for title in TITLES if title in wanted] == [title.partition(":")[0] for title in found]


def pack_of(result: Result, given: Setting) -> tuple[LiveDecisions, dict[str, Told], list[str]]:
    """The pack's lines as formulas give them, what Python says of each ewe by name, and who had a line when it was written."""
    ewes = in_order_of_verdict(result)
    told = {ewe.name: one for ewe, one in zip(ewes, by_python(result, given), strict=True)}
    return lived(result, given), told, [ewe.name for ewe in ewes if ewe.verdict in GOING]


def said_of(one: Told, word: bool, before: str) -> str:
    """Why, as the pack says it: where the meeting decided otherwise that stands first, last what is seen to before she goes."""
    why = f"decided at the meeting; by the rules: {one.reasons}" if word else one.reasons
    return f"{why}. {BEFORE}: {before}" if before and one.final in GOES_WORDS else why


@pytest.mark.parametrize("seeds", [range(0, SETTINGS, 5)])
def test_the_pack_follows_every_setting_line_by_line(seeds: Sequence[int]) -> None:
    most, result = 0, clean()
    before = {ewe.name: before_she_goes(ewe) for ewe in result.decisions.values()}
    for seed in seeds:
        given = setting(seed, result)
        live, told, had_a_line = pack_of(result, given)
        own = {name: one.final in WORDS and one.final != one.verdict for name, one in told.items()}
        said = {name: said_of(one, own[name], before[name]) for name, one in told.items()}
        lines = list(zip(live.column("lines", "final"), live.column("lines", "why"), strict=True))
        assert [(told[name].final, said[name]) for name in had_a_line] == lines
        added = sorted(name for name, one in told.items() if name not in had_a_line and one.final in GOING_WORDS)
        rows = list(zip(*(live.column("added", id) for id in ("name", "final", "why")), strict=True))
        named = [(str(name), final, why) for name, final, why in rows if name]
        assert min(len(added), MOST_ADDED) == len(named) and {name for name, *_ in named} <= set(added)
        assert all((told[name].final, said[name]) == (final, why) for name, final, why in named)
        order = [GOING_WORDS.index(str(final)) for _, final, _ in named]
        assert sorted(order) == order
        keeps = sorted((name for name, one in told.items() if one.final == "keep"), key=int)
        cells = [str(name) for name in live.column("keeps", "name")]
        assert [*keeps, *[""] * (len(cells) - len(keeps))][:len(cells)] == cells
        most = max(most, len(added))
    assert most > MOST_ADDED


def test_before_she_goes_is_said_of_those_that_go_and_of_no_others() -> None:
    result = clean()
    ewes = [ewe for ewe in in_order_of_verdict(result) if ewe.verdict in GOING]
    goes = [before_she_goes(ewe) if ewe.verdict is not Verdict.WATCH else "" for ewe in ewes]
    assert any(goes) and goes == lived(result, as_it_was(result)).column("lines", "before")
    stays = Setting(result.season.policy, ("keep",) * len(result.decisions))
    assert {""} == set(lived(result, stays).column("lines", "before"))


@pytest.mark.parametrize(("id", "typed"), [
    ("on", "perhaps"), ("compare", ">="), ("limit", "two"), ("limit", None), ("action", "sell"), ("at_mating", "later"),
    ("when", "never"), ("action", None),
])
def test_what_cannot_be_read_on_policy_stands_as_it_was_and_is_counted(id: str, typed: str | None) -> None:
    result = clean()
    cells = policy_cells(result.season.policy)
    at = cells["policy_key"].index("udder-lump-or-hard")
    cells[f"policy_{id}"] = [*cells[f"policy_{id}"][:at], typed, *cells[f"policy_{id}"][at + 1:]]
    live = live_decisions(in_order_of_verdict(result), result.season.policy, printed_columns(result), (), cells)
    assert [decision.verdict.label for decision in in_order_of_verdict(result)] == live.column("decisions", "verdict")
    assert 1 == sum(int(cell) for cell in live.column("rules", "wrong"))


def test_an_action_changed_counts_at_the_look_before_mating_too_unless_another_stands_there() -> None:
    result = clean()
    cells = policy_cells(result.season.policy)
    for id, moves in (("broken-mouth", True), ("udder-lump-or-hard", False)):
        at = cells["policy_key"].index(id)
        changed = {**cells, "policy_action": [*cells["policy_action"][:at], "note", *cells["policy_action"][at + 1:]]}
        live = live_decisions(in_order_of_verdict(result), result.season.policy, printed_columns(result), (), changed)
        decided = [one for one in result.decisions.values() if one.reasons and one.reasons[0].rule == id]
        assert decided and moves == (live.cell(MOVED) > 0), id


def test_rules_sorted_on_policy_or_taken_away_change_nothing() -> None:
    result = clean()
    cells = {name: column[::-1] for name, column in policy_cells(result.season.policy).items()}
    gone = {name: column[3:] for name, column in cells.items()}
    for now in (cells, gone):
        live = live_decisions(in_order_of_verdict(result), result.season.policy, printed_columns(result), (), now)
        assert [decision.verdict.label for decision in in_order_of_verdict(result)] == live.column("decisions", "verdict")


def test_formulas_of_a_row_look_at_that_row_and_at_named_rules_alone() -> None:
    live = lived(clean(), as_it_was(clean()))
    sheet = live.sheets["decisions"]
    for column in sheet.columns:
        assert "!" not in column.formula, column.id
        assert all(name.startswith(("live_rules_", "live_verdicts_")) for name in names_in([sheet.formula(column)])), column.id


# The workbook itself, worked out by LibreOffice as somebody types: nothing else is worked out anew.


@dataclass(frozen=True)
class Written:
    """The summary of the clean demo, and where its cells stand."""

    path: Path
    top: int
    columns: dict[str, str]
    top_of_policy: int
    policy: dict[str, str]

    def column(self, title: str) -> list[object]:
        """The step that reads a column of the ewes."""
        last = self.top + len(clean().decisions) - 1
        return ["read", EWE_DECISIONS, f"{self.columns[title]}{self.top}:{self.columns[title]}{last}"]

    def typed(self, now: Setting, before: Setting) -> list[list[object]]:
        """What somebody types to go from one setting to another."""
        cells, were = policy_cells(now.policy), policy_cells(before.policy)
        changed = [(POLICY, f"{self.policy[title]}{row}", cell) for id, title in POLICY_TITLES.items()
                   for row, (cell, was) in enumerate(zip(cells[f"policy_{id}"], were[f"policy_{id}"], strict=True),
                                                     self.top_of_policy) if cell != was]
        changed += [(EWE_DECISIONS, f"{self.columns[OWN_WORD]}{row}", word)
                    for row, (word, was) in enumerate(zip(now.own_words, before.own_words, strict=True), self.top) if word != was]
        return [["set", tab, place, "" if cell is None else cell] for tab, place, cell in changed]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    path = tmp_path_factory.mktemp("live") / "summary.xlsx"
    write_summary(clean(), path)
    return Written(path, *_heads(path, EWE_DECISIONS, "Ewe"), *_heads(path, POLICY, "Rule"))


def _heads(path: Path, tab: str, first: str) -> tuple[int, dict[str, str]]:
    """The first row under the headings of a tab, and the column of each."""
    heads = next(row for row in load_workbook(path, read_only=True)[tab].iter_rows() if row[0].value == first and row[1].value)
    return heads[0].row + 1, {str(cell.value): cell.column_letter for cell in heads if cell.value}


SHOWN = ("Verdict", "Reasons", FINAL_WORD)
READ = len(SHOWN) + 1  # and the pack
PACK: list[object] = ["read", MEETING, "A1:C400"]  # ewe, verdict and why, wherever their lines stand


def steps_of(written: Written, settings: Sequence[Setting]) -> list[list[object]]:
    """Each setting typed over the one before, and what is then read."""
    before, steps = as_it_was(clean()), []
    for given in settings:
        steps += [*written.typed(given, before), ["calculate"], *map(written.column, SHOWN), PACK]
        before = given
    return steps


def shown(found: Sequence[list[list[object]]]) -> list[tuple[str, ...]]:
    return list(zip(*([str(row[0]) for row in rows] for rows in found), strict=True))


def expected(given: Setting) -> list[tuple[str, ...]]:
    return [(told.verdict, told.reasons, told.final) for told in by_python(clean(), given)]


def in_the_pack(rows: Sequence[Sequence[object]]) -> dict[str, tuple[str, str]]:
    """What stands beside each ewe in the pack, those added too; lists of numbers alone have no verdict."""
    names = {decision.name for decision in clean().decisions.values()}
    return {str(row[0]): (str(row[1]), str(row[2])) for row in rows if str(row[0]) in names and str(row[1]) not in names | {""}}


def pack_by_formulas(given: Setting) -> dict[str, tuple[str, str]]:
    live = lived(clean(), given)
    place = live.values("decisions")["order"]
    ewes = {rank: decision.name for rank, decision in zip(place, in_order_of_verdict(clean()), strict=True)}
    names = [ewes[rank] for rank in live.values("lines")["ewe"]]
    lines = zip(names, live.column("lines", "final"), live.column("lines", "why"), strict=True)
    added = zip(*(live.column("added", id) for id in ("name", "final", "why")), strict=True)
    return {str(name): (str(final), str(why)) for name, final, why in [*lines, *added] if name}


def test_an_office_says_the_same_as_somebody_types_and_sorting_keeps_every_row_right(written: Written) -> None:
    settings = [setting(seed, clean()) for seed in (0, 3)]
    read = [written.column("Ewe"), written.column("Verdict")]
    sort = [["sort", EWE_DECISIONS, 2, written.top], *read, ["sort_column", EWE_DECISIONS, 1, written.top], *read]
    found = all_changed([(written.path, None, steps_of(written, settings)), (written.path, None, sort)])
    assert [row for given in settings for row in expected(given)] == [*shown(found[:3]), *shown(found[READ:READ + 3])]
    assert [pack_by_formulas(given) for given in settings] == [in_the_pack(found[READ * at + 3]) for at in range(len(settings))]
    ewes, verdicts, alone, seen = ([str(row[0]) for row in rows] for rows in found[2 * READ:])
    told = {decision.name: decision.verdict.label for decision in clean().decisions.values()}
    assert [told[ewe] for ewe in ewes] == verdicts
    assert ewes != [decision.name for decision in in_order_of_verdict(clean())]
    wanted = [verdict if before == now else OUT_OF_PLACE for before, now, verdict in zip(ewes, alone, verdicts, strict=True)]
    assert wanted == seen and OUT_OF_PLACE in seen


@pytest.mark.long
def test_an_office_says_the_same_of_twenty_settings(written: Written) -> None:
    settings = [setting(seed, clean()) for seed in range(20)]
    found = taken(written.path, steps_of(written, settings))
    for number, given in enumerate(settings):
        assert expected(given) == shown(found[READ * number:READ * number + 3]), number
        assert pack_by_formulas(given) == in_the_pack(found[READ * number + 3]), number


def test_no_reason_begins_like_a_decision_which_page_one_sets_off() -> None:
    assert not [rule.title for rule in RULES for verdict in Verdict if rule.title.casefold().startswith(f"{verdict.label} ")]
