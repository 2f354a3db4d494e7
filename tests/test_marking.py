"""The marked copy: marks where the problems are, everything else as it was, answers read back, nothing handed over in doubt."""

import json
import re
import zipfile
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner
from damage import flock
from everything import EWES, LAMBS, LONG, NOTED, WORDS, everything, in_utf16, prefixed, rewritten, without_addresses
from examples import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from inventory import OWN_TAB, Book, inventory
from seasons import season

from template_builder.files.opening import open_cells
from template_builder.files.parsed import MAIN
from template_builder.files.writing import WriteError
from template_builder.layout.addresses import letters
from template_builder.layout.sheets.to_correct import CORRECT_IT, TO_CORRECT
from workbook.cli import main
from workbook.output import report
from workbook.output.marking import copy
from workbook.output.marking.copy import NotMarked, write_marked
from workbook.output.marking.marks import OWN_TEST, mark_test
from workbook.output.marking.markup import Markup, as_utf8, escaped
from workbook.output.marking.rules_in_sheet import ORDER
from workbook.output.marking.stored import Stored, place_of, stored_cells
from workbook.reading.corrections import corrections
from workbook.reading.season_file import read
from workbook.results.pipeline import Checked, check
from workbook.rules.rule import Found, Problem, Rule, Severity
from workbook.season.cells import CellRef

pytestmark = [
    pytest.mark.filterwarnings("ignore:.*xtension is not supported:UserWarning"),  # openpyxl, of files it is given
    pytest.mark.usefixtures("few_spare_rows"),
]

MESSY = Path(__file__).parent.parent / "demo_workbooks" / "season-messy.xlsx"
CLEAN = MESSY.with_name("season-clean.xlsx")
ERROR = Rule("C1", "wrong", "Wrong", Severity.ERROR, "why", "house rule", "Put it right.")
WARNING = Rule("C2", "odd", "Odd", Severity.WARNING, "why", "house rule", "Look again.")

EVERY_KIND = ("A2", "B2", "B4", "C2", "C3", "C4", "C5", NOTED, "D3", "E4", "F2", "F3", "F4", "G2", "G6", "Z99")
PREFIXED_PARTS = ("worksheets/sheet1", "worksheets/sheet2", "styles", "comments1", "workbook", "sharedStrings")
FORMS: Mapping[str, Mapping[str, Callable[[bytes], bytes]]] = {
    "as XlsxWriter writes it": {},
    "with prefixed elements": {f"xl/{part}.xml": prefixed for part in PREFIXED_PARTS},
    "cells without addresses": {"xl/worksheets/sheet2.xml": without_addresses},
}


def problem(cell: str, sheet: str = EWES, rule: Rule = ERROR, text: str = "is wrong", value: str = "") -> Problem:
    row, column = place_of(cell)
    return Problem(rule, Found(CellRef("all.xlsx", sheet, row, column), text, value))


def checked(problems: Iterable[Problem], path: Path | None = None) -> Checked:
    records = corrections(open_cells(path)) if path else {}
    made = season()
    return Checked(type(made)(made.file, {**made.records, **records}, made.as_of), tuple(problems), ())


def mark(path: Path, problems: Iterable[Problem], target: Path | None = None) -> Path:
    target = target or path.with_name(f"{path.stem}-marked.xlsx")
    write_marked(checked(problems, path), path, target, force=True)
    return target


def differing(before: Path, after: Path) -> dict[str, Counter[str]]:
    """What was lost or added between two workbooks, marks left out."""
    was, now = inventory(before), inventory(after)
    assert was.keys() == now.keys()
    return {kind: (was[kind] - now[kind]) + (now[kind] - was[kind]) for kind in was if was[kind] != now[kind]}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return everything(tmp_path / "all.xlsx")


@pytest.mark.parametrize("form", FORMS)
def test_everything_else_is_as_it_was(book: Path, form: str) -> None:
    source = rewritten(book, book.with_name("form.xlsx"), FORMS[form])
    problems = [*(problem(cell) for cell in EVERY_KIND), problem("A1", LAMBS), problem("B2", LAMBS, WARNING)]
    marked = mark(source, problems)
    assert {} == differing(source, marked)
    assert {(EWES, cell) for cell in EVERY_KIND} | {(LAMBS, "A1"), (LAMBS, "B2")} == {one[:2] for one in Book(marked).marks()}
    assert [*Book(source).sheets, OWN_TAB] == [*Book(marked).sheets]
    openpyxl.load_workbook(marked)


def test_what_openpyxl_saved_is_kept(book: Path) -> None:
    saved = book.with_name("saved.xlsx")
    openpyxl.load_workbook(book).save(saved)
    marked = mark(saved, [problem(cell) for cell in EVERY_KIND])
    assert {} == differing(saved, marked)
    assert set(EVERY_KIND) == {one.cell for one in Book(marked).marks()}
    assert len(EVERY_KIND) + 1 == len(Book(marked).notes(EWES)) == Book(marked).boxes(EWES)
    openpyxl.load_workbook(marked).save(saved)  # makes one plain text of each note
    again = mark(saved, [problem(NOTED)], book.with_name("again.xlsx"))
    assert {"A3": "limps", NOTED: "ask the vet\nTo correct: is wrong. Put it right."} == Book(again).notes(EWES)
    assert [(EWES, NOTED)] == [one[:2] for one in Book(again).marks()]


def test_parts_in_utf16_are_marked(book: Path) -> None:
    source = rewritten(book, book.with_name("form.xlsx"), {"xl/worksheets/sheet2.xml": in_utf16})
    marked = mark(source, [problem("B2", LAMBS)])
    assert f"AND({OWN_TEST}=0,B2=61.5)" == Book(marked).marks()[0].test
    assert [["plain", None], [None, 61.5]] == [[cell.value for cell in row] for row in openpyxl.load_workbook(marked)[LAMBS]]


def test_untouched_parts_are_the_same_bytes(book: Path) -> None:
    marked = mark(book, [problem("B2", LAMBS)])
    before, after = Book(book).parts, Book(marked).parts
    assert {  # the first sheet is no longer the one it opens on
        "[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/styles.xml", "xl/worksheets/sheet1.xml",
        "xl/worksheets/sheet2.xml",
    } == {name for name, data in before.items() if after[name] != data}
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(marked) as new:
        same = set(before) - {name for name in before if after[name] != before[name]}
        assert [old.getinfo(name).compress_size for name in same] == [new.getinfo(name).compress_size for name in same]
        assert new.testzip() is None


TESTS = [
    (Stored("str", "12/3"), 'C7="12/3"'),
    (Stored("str", 'a "b"'), 'C7="a ""b"""'),
    (Stored("str", "x" * 255), f'C7="{"x" * 255}"'),
    (Stored("str", "x" * 256), f'LEFT(C7,255)="{"x" * 255}"'),
    (Stored("str", "two\nlines"), "TRUE"),
    (Stored("str", "_x000D_"), "TRUE"),
    (Stored("str", "\U0001f411"), "TRUE"),
    (Stored("str", "  "), "LEN(TRIM(C7))=0"),
    (None, "LEN(TRIM(C7))=0"),
    (Stored("n", "61.5"), "C7=61.5"),
    (Stored("n", "4.6115270833333336E4"), "C7=46115.2708333333"),
    (Stored("n", "0"), "ISNUMBER(C7),C7=0"),
    (Stored("n", "826012000000000"), "C7=826012000000000"),
    (Stored("n", "1e300"), "C7=1E+300"),
    (Stored("b", "1"), "C7=TRUE"),
    (Stored("b", "0"), "C7=FALSE"),
    (Stored("e", "#N/A"), "ISERROR(C7)"),
    (Stored("d", "2026-03-12T00:00:00"), "TRUE"),
]


@pytest.mark.parametrize(("stored", "test"), TESTS)
def test_a_mark_tests_the_value(stored: Stored | None, test: str) -> None:
    assert f'AND(N("to correct")=0,{test})' == mark_test((7, 3), stored)


def test_values_are_read_from_every_kind_of_cell(book: Path) -> None:
    tests = {one.cell: one.test.removeprefix(f"AND({OWN_TEST}=0,").removesuffix(")") for one in
             Book(mark(book, [problem(cell) for cell in EVERY_KIND])).marks()}
    quoted = WORDS.replace('"', '""')
    assert {
        "A2": 'A2="0401"', "B2": "ISNUMBER(B2),B2=0", "B4": "B4=2", "C2": 'C2="12/3"', "C3": f'LEFT(C3,255)="{LONG[:255]}"',
        "C4": f'C4="{quoted}"', "C5": "TRUE", NOTED: f'{NOTED}="with a note"', "D3": "D3=46083.2708333333", "E4": "E4=4",
        "F2": "F2=TRUE", "F3": "ISERROR(F3)", "F4": "LEN(TRIM(F4))=0", "G2": 'G2="some bold"', "G6": "LEN(TRIM(G6))=0",
        "Z99": "LEN(TRIM(Z99))=0",
    } == tests


def test_a_note_says_every_problem_of_its_cell_and_keeps_what_was_there(book: Path) -> None:
    marked = mark(book, [problem(NOTED, text="is\nwrong."), problem(NOTED, rule=WARNING, text="is odd"), problem("B2")])
    assert {
        "A3": "limps", "B2": "To correct: is wrong. Put it right.",
        NOTED: "ask the vet\nTo correct: is wrong. Put it right.\nTo correct: is odd. Look again.",
    } == Book(marked).notes(EWES)
    assert 3 == Book(marked).boxes(EWES)
    assert "ask the vet" in openpyxl.load_workbook(marked)[EWES][NOTED].comment.text


def test_marking_twice_is_marking_once(book: Path) -> None:
    problems = [problem(cell) for cell in EVERY_KIND]
    once = mark(book, problems)
    twice = mark(once, problems, once.with_name("twice.xlsx"))
    assert once.read_bytes() == twice.read_bytes()


def test_marks_of_what_was_corrected_go(book: Path) -> None:
    once = mark(book, [problem(cell) for cell in EVERY_KIND] + [problem("A1", LAMBS)])
    after = mark(once, [problem("B2")], once.with_name("after.xlsx"))
    assert [(EWES, "B2")] == [one[:2] for one in Book(after).marks()]
    assert {"A3", "B2", NOTED} == Book(after).notes(EWES).keys()
    assert {} == Book(after).notes(LAMBS)
    assert "ask the vet" == Book(after).notes(EWES)[NOTED]
    assert (3, 0) == (Book(after).boxes(EWES), Book(after).boxes(LAMBS))
    clean = mark(after, [], once.with_name("clean.xlsx"))
    assert {} == differing(book, clean)
    assert [] == Book(clean).marks()


def test_what_a_person_adds_to_a_note_of_ours_stays(book: Path) -> None:
    once = mark(book, [problem("A1", LAMBS)])
    parts = Book(once).parts
    comments = next(name for name, data in parts.items() if name.startswith("xl/comments") and b"To correct" in data)
    reply = {comments: lambda data: data.replace(b"right.<", b"right.&#10;I asked Jo<")}
    typed = rewritten(once, once.with_name("typed.xlsx"), reply)
    again = mark(typed, [], once.with_name("again.xlsx"))
    assert {"A1": "I asked Jo"} == Book(again).notes(LAMBS)


def test_priorities_make_room_and_close_up(book: Path) -> None:
    marked = mark(book, [problem("B2"), problem("C2")])
    def ranks(path: Path) -> list[int]:
        return sorted(int(rule.attrib["priority"]) for rule in Book(path).tree(EWES).iter() if rule.tag.endswith("}cfRule")
                      and "priority" in rule.attrib)
    assert [1, 2, 3] == ranks(book)
    assert [1, 2, 3, 4, 5] == ranks(marked)
    assert [1, 2, 3, 4] == ranks(mark(marked, [problem("B2")], book.with_name("again.xlsx")))


LATER = b"""<extLst><ext xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"
 uri="{78C0D931-6437-407d-A8EE-F0AAD7539E65}"><x14:conditionalFormattings><x14:conditionalFormatting
 xmlns:xm="http://schemas.microsoft.com/office/excel/2006/main"><x14:cfRule type="expression" priority="7"
 id="{00000000-0000-0000-0000-000000000001}"><xm:f>_hidden!$A$1=1</xm:f></x14:cfRule><xm:sqref>A1</xm:sqref>
</x14:conditionalFormatting></x14:conditionalFormattings></ext></extLst></worksheet>"""


def test_later_formats_make_room_too(book: Path) -> None:
    later = {"xl/worksheets/sheet2.xml": lambda data: data.replace(b"</worksheet>", LATER)}
    source = rewritten(book, book.with_name("later.xlsx"), later)
    marked = mark(source, [problem("A1", LAMBS), problem("B2", LAMBS)])
    assert b'priority="9"' in Book(marked).parts["xl/worksheets/sheet2.xml"]
    assert {} == differing(source, marked)


def test_elements_stand_in_the_order_of_the_standard(book: Path) -> None:
    marked = mark(book, [problem("B2"), problem("B2", LAMBS)])
    for sheet in (EWES, LAMBS):
        names = [element.tag.rpartition("}")[2] for element in Book(marked).tree(sheet)]
        assert sorted(names, key=ORDER.index) == names


@pytest.mark.parametrize(("text", "says"), [
    ("problem of a row", "5:5"), ("problem of a sheet", ""),
])
def test_problems_of_no_cell_stand_on_the_list_alone(book: Path, text: str, says: str) -> None:
    place = CellRef("all.xlsx", LAMBS, 5 if says else 0, 0)
    marked = mark(book, [Problem(ERROR, Found(place, text))])
    assert [] == Book(marked).marks()
    cells = openpyxl.load_workbook(marked)[OWN_TAB][4]
    assert {("left", 1)} == {(cell.alignment.horizontal, cell.alignment.indent) for cell in cells}, "a space from the edge"
    row = [cell.value for cell in cells]
    assert ["C1", "error", LAMBS, says or None, None, None, text, "Put it right.", CORRECT_IT, None] == row


def test_the_list_links_to_each_cell(book: Path) -> None:
    sheet = openpyxl.load_workbook(mark(book, [problem("B2", rule=WARNING, value="=1+1", text="a _x000D_ b")]))[OWN_TAB]
    assert "'Ewes & rams'!B2" == sheet["D4"].hyperlink.location
    assert ("=1+1", "s", None) == (sheet["F4"].value, sheet["F4"].data_type, sheet["I4"].value)
    assert [column.title for column in TO_CORRECT.own_columns] == [cell.value for cell in sheet[3]]


@pytest.mark.long
def test_the_messy_demo_is_marked_where_it_is_listed(messy: Checked, tmp_path: Path) -> None:
    before, target = MESSY.read_bytes(), tmp_path / "marked.xlsx"
    done = CliRunner().invoke(main, ["check", str(MESSY), "--marked", str(target), "--format", "json"])
    assert (1, report.as_json(messy) + "\n", f"Marked copy: {target}\n") == (done.exit_code, done.stdout, done.stderr)
    listed = {(one["sheet"], one["cell"]) for one in json.loads(done.stdout)["problems"] if one["cell"]}
    marks = Book(target).marks()
    assert listed == {one[:2] for one in marks}
    assert len(listed) == len(marks)
    assert before == MESSY.read_bytes()
    assert {} == differing(MESSY, target)


def test_text_output_names_the_copy_and_a_clean_season_has_no_mark(tmp_path: Path) -> None:
    target = tmp_path / "marked.xlsx"
    done = CliRunner().invoke(main, ["check", str(CLEAN), "--marked", str(target)])
    assert (0, f"{CLEAN.name}: no problem found\nMarked copy: {target}\n") == (done.exit_code, done.output)
    assert [] == Book(target).marks()
    again = CliRunner().invoke(main, ["check", str(CLEAN), "--marked", str(target)])
    assert 2 == again.exit_code
    assert "already there" in again.output


@pytest.fixture(scope="module")
def messy() -> Checked:
    return check(read(MESSY))


ANSWER = [column.id for column in TO_CORRECT.own_columns].index("answer")
ANSWERS = {"C113": "counted again, Jo", "C116": "big lamb, weighed twice", "C101": "they do share a tag"}


def first_weight(messy: Checked) -> str:
    """The cell of the first birth weight that is queried."""
    return next(one.place.cell for one in messy.problems if one.rule.id == "C116")


@pytest.fixture(scope="module")
def answered(messy: Checked, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The marked demo as a person sends it back: ANSWERS written on To correct, one weight changed."""
    path = tmp_path_factory.mktemp("answered") / "answered.xlsx"
    write_marked(messy, MESSY, path)
    book = openpyxl.load_workbook(path)
    for row in book[OWN_TAB].iter_rows(min_row=4):
        row[ANSWER].value = ANSWERS.get(str(row[0].value), row[ANSWER].value)
    book["Lambs"][first_weight(messy)] = 6.8
    book.save(path)
    return path


def test_answers_silence_warnings_until_the_value_changes_and_errors_never(messy: Checked, answered: Path) -> None:
    before, after = (Counter((one.rule.id, str(one.place)) for one in found.problems) for found in (messy, check(read(answered))))
    warned = {one for one in before if one[0] in ("C113", "C116")}
    changed = ("C116", f"Lambs!{first_weight(messy)}")
    assert warned - {changed} == set(before - after)
    assert len(warned) > 1
    assert Counter() == after - before
    assert changed in after
    assert {one for one in before if one[0] == "C101"} == {one for one in after if one[0] == "C101"} != set()


@pytest.mark.long
def test_answers_outlive_the_next_marking(messy: Checked, answered: Path) -> None:
    found, again = check(read(answered)), answered.with_name("again.xlsx")
    write_marked(found, answered, again)
    assert [one.found.text for one in found.problems] == [one.found.text for one in check(read(again)).problems]
    warned = {(one.place.sheet, one.place.cell) for one in messy.problems if one.rule.id == "C113"}
    assert warned <= {one[:2] for one in Book(answered).marks()}
    assert set() == warned & {one[:2] for one in Book(again).marks()}
    rows = [[cell.value for cell in row] for row in openpyxl.load_workbook(again)[OWN_TAB].iter_rows(min_row=4)]
    assert [ANSWERS["C113"]] * len(warned) == [row[ANSWER] for row in rows if row[0] == "C113"]
    assert [ANSWERS["C101"]] == [row[ANSWER] for row in rows if row[0] == "C101"]


@pytest.mark.long
def test_a_list_that_cannot_be_read_is_named_as_not_read(answered: Path) -> None:
    book = openpyxl.load_workbook(answered)
    book[OWN_TAB]["I3"] = "my remarks"
    book.save(answered.with_name("renamed.xlsx"))
    renamed = read(answered.with_name("renamed.xlsx")).season
    assert ((OWN_TAB,), ()) == (renamed.own_sheets, renamed.rows(TO_CORRECT.id))
    assert () == read(answered).season.own_sheets


def test_a_workbook_without_styles_is_marked(tmp_path: Path) -> None:
    """Some writers leave the list of styles out where no cell has a look of its own."""
    path = flock.write(tmp_path / "season.xlsx")
    plain = tmp_path / "plain.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(plain, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name.endswith((".xml", ".rels")):
                data = re.sub(rb'<(Override|Relationship) [^>]*styles(\.xml|")[^>]*/>', b"", data)
                data = re.sub(rb' (?:s|style)="\d+"', b"", data) if "/worksheets/sheet" in name else data
                data = re.sub(rb"<conditionalFormatting.*?</conditionalFormatting>", b"", data, flags=re.DOTALL)
            if name != "xl/styles.xml":
                new.writestr(name, data)
    target = tmp_path / "marked.xlsx"
    write_marked(check(read(plain)), plain, target)
    with zipfile.ZipFile(target) as marked:
        assert "xl/styles1.xml" in marked.namelist()
    assert open_cells(plain).tabs.items() <= open_cells(target).tabs.items()
    assert TO_CORRECT.title in open_cells(target).tabs


def test_the_own_file_and_a_foreign_sheet_are_refused(book: Path) -> None:
    before = book.read_bytes()
    with pytest.raises(WriteError, match="never changed"):
        write_marked(checked([]), book, book, force=True)
    with pytest.raises(NotMarked, match="must end in .xlsx"):
        write_marked(checked([]), book, book.with_suffix(".xlsm"))
    with pytest.raises(WriteError, match="already there"):
        target = mark(book, [])
        write_marked(checked([]), book, target)
    foreign = openpyxl.load_workbook(book)
    foreign.create_sheet("TO CORRECT")["A1"] = "a list of my own"
    foreign.save(book.with_name("foreign.xlsx"))
    with pytest.raises(NotMarked, match="was not made by this program"):
        mark(book.with_name("foreign.xlsx"), [])
    assert before == book.read_bytes()


DAMAGE: list[tuple[str, bytes, bytes, str]] = [
    ("xl/worksheets/sheet1.xml", b"<v>2</v>", b"<v>3</v>", "the cells of the sheet Ewes & rams"),
    ("xl/worksheets/sheet1.xml", b"<formula1>0</formula1>", b"<formula1>1</formula1>", "the dataValidations"),
    ("xl/worksheets/sheet1.xml", b'operator="greaterThan"', b'operator="lessThan"', "the conditional formats"),
    ("xl/worksheets/sheet1.xml", b"A9:C9", b"A9:C8", "the mergeCells"),
    ("xl/worksheets/sheet1.xml", b"<x14:sparkline>", b"<x14:sparklin >", "ValueError|ExpatError"),
    ("xl/worksheets/sheet1.xml", b'topLeftCell="B2"', b'topLeftCell="B3"', "the sheetViews"),
    ("xl/worksheets/sheet2.xml", b"61.5", b"61.6", "the cells of the sheet Lambs"),
    ("xl/sharedStrings.xml", b"12/3", b"12/4", "the part xl/sharedStrings.xml"),
    ("xl/workbook.xml", b"$A$6", b"$A$5", "the names or settings"),
    ("xl/styles.xml", b'numFmtId="165"', b'numFmtId="164"', "the looks of cells"),
    ("xl/comments1.xml", b"ask the vet", b"ask a vet", "the notes in"),
    ("xl/tables/table1.xml", b"Room", b"Rum", "the part xl/tables/table1.xml"),
    ("xl/_rels/workbook.xml.rels", b"theme/theme1.xml", b"theme/theme2.xml", "the part xl/_rels/workbook.xml.rels"),
]


@pytest.mark.parametrize(("part", "was", "now", "words"), DAMAGE)
def test_a_copy_that_differs_is_not_handed_over(
    book: Path, monkeypatch: pytest.MonkeyPatch, part: str, was: bytes, now: bytes, words: str,
) -> None:
    marked, target = copy.marked, book.with_name("target.xlsx")

    def damaged(*given: object) -> bytes:
        good, bad = book.with_name("good.xlsx"), book.with_name("bad.xlsx")
        good.write_bytes(marked(*given))  # type: ignore[arg-type]  # passed on as given
        assert was in Book(good).parts[part]
        return rewritten(good, bad, {part: lambda data: data.replace(was, now)}).read_bytes()

    monkeypatch.setattr(copy, "marked", damaged)
    with pytest.raises(NotMarked, match=words):
        write_marked(checked([problem("B2"), problem(NOTED)]), book, target)
    assert not target.exists()


PLACES = st.lists(st.tuples(st.sampled_from([EWES, LAMBS]), st.tuples(st.integers(1, 30), st.integers(1, 30))))


@settings(max_examples=examples(15), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(first=PLACES, second=PLACES)
def test_any_marks_change_nothing_else_and_follow_the_problems(
    book: Path, first: list[tuple[str, tuple[int, int]]], second: list[tuple[str, tuple[int, int]]],
) -> None:
    once, twice = book.with_name("once.xlsx"), book.with_name("twice.xlsx")
    for source, target, places in ((book, once, first), (once, twice, second)):
        named = [(sheet, f"{letters(column)}{row}") for sheet, (row, column) in places]
        mark(source, [problem(cell, sheet) for sheet, cell in named], target)
        assert Counter(set(named)) == Counter(one[:2] for one in Book(target).marks())
        assert {} == differing(book, target)
        for sheet in (EWES, LAMBS):
            assert Book(target).boxes(sheet) == len(Book(target).notes(sheet))


@given(st.text(), st.text(st.characters(codec="utf-8"), max_size=300))
def test_text_cut_into_markup_reads_back(attribute: str, text: str) -> None:
    markup = Markup(b'<?xml version="1.0" encoding="ISO-8859-1"?>\n<a b="\xa3"><c/>t</a>')
    markup.append(markup.root.children[0], escaped(text))
    markup.set_attribute(markup.root, "b", attribute)
    after = Markup(markup.result()).root
    assert _plain(text) == after.children[0].text
    assert _plain(attribute) == after.attributes["b"]


def _plain(text: str) -> str:
    """The text with a question mark for each character that XML cannot hold."""
    return re.sub("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "?", text)


def test_a_part_in_utf16_reads_the_same_in_utf8() -> None:
    part = '<?xml version="1.0" encoding="UTF-16"?><a b="£">é</a>'
    for data in (part.encode("utf-16"), part.encode("utf-16-be")):
        root = Markup(as_utf8(data)).root
        assert ("£", "é") == (root.attributes["b"], root.text)


def test_cells_are_counted_where_they_do_not_say_where_they_stand() -> None:
    rows = (
        '<row><c><v>1</v></c><c t="inlineStr"><is><t>a</t></is></c></row><row r="5"><c r="C5"/><c><v>2</v></c></row>'
        "<row><c><f>1</f><v>3</v></c></row>"
    )
    sheet = f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'.encode("ascii")
    places = [(1, 1), (1, 2), (5, 4), (6, 1), (7, 1)]
    assert {(1, 1): Stored("n", "1"), (1, 2): Stored("str", "a"), (5, 4): Stored("n", "2"), (6, 1): Stored("n", "3")} == \
        stored_cells(Markup(sheet, closed=("sheetData",)), places)
