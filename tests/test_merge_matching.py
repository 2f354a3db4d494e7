"""Which rows of several copies are one: by what a person sees, however the rows were sorted and whatever stayed behind."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from copies import Rows, handed_out, unordered
from examples import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from random_rows import seasons
from seasons import records, season

from demo_workbooks import simulation
from template_builder.build import Plan, build
from template_builder.layout.choices import Born
from template_builder.layout.columns import Row, Value
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import SHEET
from workbook.cli import main
from workbook.merging.seasons import Merged, merge
from workbook.reading.row_keys import beside_their_rows
from workbook.reading.season_file import read
from workbook.results.pipeline import check
from workbook.season.season import Season

DAY = date(2026, 4, 1)
SCANNED = (("0412", 3), ("0415", 1), ("0421", 2), ("0430", 1), ("0437", 2), ("0444", 1))


def flock() -> Rows:
    rows = lay_ready([{"ewe": ewe, "scanned": scanned, "due": DAY} for ewe, scanned in SCANNED])
    return {**rows, "lambs": [{**row, "tag": str(7000 + number), "born": Born.ALIVE} for number, row in enumerate(rows["lambs"])]}


def turned(rows: Rows, sheet: str, order: Sequence[int], *, keys_stay: bool) -> Rows:
    """The rows of one sheet in another order, their hidden keys with them or left where they were."""
    found = [dict(rows[sheet][position]) for position in order]
    if keys_stay:
        for row, there in zip(found, rows[sheet], strict=True):
            row.pop("row_key", None)
            if "row_key" in there:
                row["row_key"] = there["row_key"]
    return {**rows, sheet: [row for row in found if row]}


def noted(rows: Rows, sheet: str, name: tuple[Value, ...], **cells: Value) -> Rows:
    """One row, known by its issued cells, with more written in it."""
    issued = [column.id for column in SHEET[sheet].issued][:len(name)]
    return {**rows, sheet: [{**row, **cells} if tuple(row.get(id) for id in issued) == name else row for row in rows[sheet]]}


def taken(file: str, rows: Rows) -> Season:
    """The season as reading takes it: with hidden keys beside their rows."""
    made = season(file=file)
    return replace(made, records={
        sheet: beside_their_rows(SHEET[sheet], records(sheet, rows.get(sheet, ()), file))[0] for sheet in made.records})


def put_together(*rows: Rows, base: Rows | None = None) -> Merged:
    return merge([taken(f"{number}.xlsx", found) for number, found in enumerate(rows)], taken("base", base) if base else None)


def by_lamb(found: Merged, column: str) -> dict[tuple[Value, Value], Value]:
    return {(row["ewe"], row["lamb_no"]): row[column] for row in found.rows["lambs"] if row.get(column) is not None}


@pytest.mark.parametrize("keys_stay", [True, False])
@pytest.mark.parametrize("with_base", [True, False])
def test_a_note_goes_to_its_lamb_when_another_copy_was_sorted(keys_stay: bool, with_base: bool) -> None:
    sent = flock()
    sorted_copy = turned(sent, "lambs", [9, 4, 0, 7, 2, 5, 1, 8, 3, 6], keys_stay=keys_stay)
    found = put_together(sorted_copy, noted(sent, "lambs", ("0421", 2), notes="slow"), base=sent if with_base else None)
    assert () == found.conflicts
    assert {("0421", 2): "slow"} == by_lamb(found, "notes")
    assert unordered(noted(sent, "lambs", ("0421", 2), notes="slow"))["lambs"] == unordered(found.rows)["lambs"]  # type: ignore[arg-type]


def test_a_number_corrected_in_one_copy_goes_with_the_row_by_its_hidden_key() -> None:
    sent = flock()
    corrected = noted(sent, "lambing", ("0415",), ewe="0451")
    found = put_together(corrected, noted(sent, "lambing", ("0415",), born_alive=1))
    assert ((), len(SCANNED)) == (found.conflicts, len(found.rows["lambing"]))
    assert [1] == [row["born_alive"] for row in found.rows["lambing"] if row["ewe"] == "0451"]


def test_two_corrections_of_one_number_are_a_conflict_of_one_row() -> None:
    sent = flock()
    found = put_together(*(noted(sent, "lambing", ("0415",), ewe=ewe) for ewe in ("0451", "0416")), base=sent)
    assert [["0416", "0451"]] == [[claim.value for claim in conflict.claims] for conflict in found.conflicts]
    assert len(SCANNED) == len(found.rows["lambing"])


def test_of_two_rows_about_one_ewe_the_hidden_key_decides() -> None:
    twice: list[Row] = [{"ewe": "0412", "row_key": "k1"}, {"ewe": "0412", "row_key": "k2"}]
    found = put_together({"lambing": [twice[0], {**twice[1], "born_alive": 2}]}, {"lambing": [{**twice[1], "born_dead": 0}]})
    assert ((), [{"ewe": "0412", "row_key": "k1"}, {"ewe": "0412", "row_key": "k2", "born_alive": 2, "born_dead": 0}]) == (
        found.conflicts, found.rows["lambing"])


@pytest.mark.parametrize(("other", "rows"), [("k1", 2), ("k2", 3)])
def test_a_row_without_a_hidden_key_goes_with_rows_of_its_ewe_where_these_have_one_key(other: str, rows: int) -> None:
    twice: list[Row] = [{"ewe": "0412", "row_key": "k1"}, {"ewe": "0412", "row_key": other, "born_alive": 2}]
    found = put_together({"lambing": twice}, {"lambing": [{"ewe": "0412", "born_dead": 0}]})
    assert ((), rows) == (found.conflicts, len(found.rows["lambing"]))


@pytest.mark.parametrize("at", [0, 1])
def test_of_two_hidden_keys_on_one_row_the_one_it_was_laid_with_is_kept(at: int) -> None:
    row, other = (flock()["lambing"][number] for number in (at, 1 - at))
    for copies in permutations([row, {**row, "row_key": other["row_key"]}]):
        found = merge([season(file=f"{number}.xlsx", lambing=[copy]) for number, copy in enumerate(copies)])
        assert ((), [row]) == (found.conflicts, found.rows["lambing"])


def test_of_two_hidden_keys_on_one_row_that_it_was_laid_with_neither_of_one_stays() -> None:
    row, first, second = flock()["lambing"][:3]
    copies = [{**row, "row_key": other["row_key"]} for other in (first, second)]
    found = merge([season(file=f"{number}.xlsx", lambing=[copy]) for number, copy in enumerate(copies)])
    assert [min(str(copy["row_key"]) for copy in copies)] == [row["row_key"] for row in found.rows["lambing"]]


def test_numbers_swapped_between_two_rows_are_seen_as_they_stand() -> None:
    """Somebody has corrected two ewes put down for each other; what another copy says of each goes to her."""
    sent = flock()
    one, other = sent["lambing"][1], sent["lambing"][3]
    swapped = {**sent, "lambing": [{**row, "ewe": {"0415": "0430", "0430": "0415"}.get(str(row["ewe"]), row["ewe"])}
                                   for row in sent["lambing"]]}
    assert (one["scanned"], one["due"]) == (other["scanned"], other["due"])
    found = put_together(swapped, noted(sent, "lambing", ("0430",), born_alive=1))
    assert ((), ["0430"]) == (found.conflicts, [row["ewe"] for row in found.rows["lambing"] if row.get("born_alive")])


def test_rows_that_say_the_same_go_together_in_any_order() -> None:
    weights: list[Row] = [{"animal": "9", "date": DAY, "kg": kg} for kg in (20.0, 21.0, 22.0)]
    for order in permutations(weights):
        found = put_together({"weights": list(order)}, {"weights": weights[1:]})
        assert ((), unordered({"weights": weights})) == (found.conflicts, {"weights": unordered(found.rows)["weights"]})


# Whatever the order

@st.composite
def sorts(draw: st.DrawFn, rows: Rows) -> Rows:
    """The copy with its sheets sorted anyhow, hidden keys along or left behind."""
    for sheet in ("ewes", "lambing", "lambs", "weights"):
        order = draw(st.permutations(range(len(rows.get(sheet, ())))))
        rows = turned(rows, sheet, order, keys_stay=draw(st.booleans())) if order else rows
    return rows


@st.composite
def filled_flocks(draw: st.DrawFn) -> Rows:
    """A flock laid ready with some cells typed, and rows added by hand below."""
    litters = draw(st.lists(st.integers(0, 3), min_size=2, max_size=8))
    rows = lay_ready([{"ewe": f"{412 + number}", "scanned": scanned, "due": date(2026, 4, 1 + number % 3)}
                      for number, scanned in enumerate(litters)])
    words = st.sampled_from(["a", "b", None])
    for sheet in ("ewes", "lambing", "lambs"):
        rows[sheet] = [{**row, **({"notes": note} if (note := draw(words)) else {})} for row in rows[sheet]]
    rows["lambs"] = [*rows["lambs"], {"ewe": "412", "lamb_no": 9, "notes": "set on"}]
    rows["weights"] = [{"animal": f"{412 + number}-1", "date": DAY, "kg": draw(st.sampled_from([20.0, 21.0]))}
                       for number in range(draw(st.integers(0, 3)))]
    return rows


def told(found: Merged) -> tuple[object, ...]:
    """Rows and conflicts without their order. A row that says nothing of what it is about is called by where it stands."""
    conflicts = [(conflict.sheet.id, re.sub(r"row \d+", "row", conflict.row_name), conflict.heading,
                  repr([claim.value for claim in conflict.claims])) for conflict in found.conflicts]
    return unordered(found.rows), sorted(conflicts)


@settings(max_examples=examples(60), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data(), full=filled_flocks(), with_base=st.booleans())
def test_neither_the_order_of_rows_nor_keys_left_behind_matter(data: st.DataObject, full: Rows, with_base: bool) -> None:
    copies = handed_out(full, 2, lambda sheet, row, column: (hash_of(row) + len(column)) % 2)
    copies[1] = noted(copies[1], "lambs", ("413", 1), notes="other")
    base = lay_ready([{"ewe": row["ewe"], "scanned": row["scanned"], "due": row["due"]} for row in full["ewes"]])
    plain = told(put_together(*copies, base=base if with_base else None))
    moved = [data.draw(sorts(copy)) for copy in copies]
    for order in permutations(moved):
        assert plain == told(put_together(*order, base=base if with_base else None))


def hash_of(row: Row) -> int:
    return sum(map(ord, str(row.get("ewe", row.get("animal")))))


@settings(max_examples=examples(30), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data(), rows=st.lists(seasons(3), min_size=2, max_size=2))
def test_the_order_of_rows_makes_no_difference_to_any_rows(data: st.DataObject, rows: list[Rows]) -> None:
    moved = [{sheet: data.draw(st.permutations(found)) for sheet, found in copy.items()} for copy in rows]
    assert told(put_together(*rows)) == told(put_together(*moved))


# Files

def run(*words: object) -> Result:
    done = CliRunner().invoke(main, [str(word) for word in words], prog_name="lambing-workbook")
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


@pytest.mark.long
def test_the_demo_sorted_without_its_hidden_keys_merges_and_says_so(tmp_path: Path) -> None:
    full = simulation.clean_season()
    order = sorted(range(len(full["lambs"])), key=lambda position: str(full["lambs"][position].get("tag", "")))
    last = max((row["ewe"], row["lamb_no"]) for row in full["lambs"] if "row_key" in row)
    for name, rows in {"sent": full, "sorted": turned(full, "lambs", order, keys_stay=True),
                       "office": noted(full, "lambs", last, notes="seen")}.items():
        build(tmp_path / f"{name}.xlsx", Plan("Home Farm", rows))
    noticed = [(problem.rule.id, problem.place.sheet) for problem in check(read(tmp_path / "sorted.xlsx")).problems
               if problem.rule.id in ("C144", "R128")]
    assert [("R128", "Lambs")] == noticed
    for base in ((), ("--base", tmp_path / "sent.xlsx")):
        done = run("merge", tmp_path / "sorted.xlsx", tmp_path / "office.xlsx", *base, "-o", tmp_path / f"all{len(base)}.xlsx")
        assert (0, True) == (done.exit_code, "No conflicts." in done.output), done.output
        assert unordered(read_rows(tmp_path / "office.xlsx")) == unordered(read_rows(tmp_path / f"all{len(base)}.xlsx"))


def read_rows(path: Path) -> Rows:
    return {sheet: [dict(row.values) for row in rows] for sheet, rows in read(path).season.records.items()}


def test_a_copy_with_ewe_numbers_sorted_by_themselves_is_refused(tmp_path: Path) -> None:
    sent = flock()
    alone = {**sent, "lambs": [{**row, "ewe": other["ewe"]}
                               for row, other in zip(sent["lambs"], reversed(sent["lambs"]), strict=True)]}
    for name, rows in {"sent": sent, "alone": alone}.items():
        build(tmp_path / f"{name}.xlsx", Plan("Home Farm", rows))
    done = run("merge", tmp_path / "sent.xlsx", tmp_path / "alone.xlsx")
    assert (2, False) == (done.exit_code, (tmp_path / "sent-merged.xlsx").exists())
    assert "alone.xlsx Lambs!A" in done.output and "Ewe was sorted without the rest" in done.output
