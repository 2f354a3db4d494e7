"""What comes back in a shared copy goes to the right animals: the records are the original's, what was added is at its row."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
import pytest
from click.testing import CliRunner, Result
from examples import examples
from hypothesis import HealthCheck, given, settings
from openpyxl.comments import Comment
from random_rows import seasons

from demo_workbooks import FOLDER, MESSY
from template_builder.build import Plan, build
from template_builder.files.told import Told
from template_builder.layout.choices import Born, Sex, Udder
from template_builder.layout.columns import Row, Value
from template_builder.layout.decided import EWE, OWN_WORD, WHY
from template_builder.layout.laying import lay_ready
from template_builder.layout.summary_tabs import EWE_DECISIONS
from workbook.cli import main
from workbook.reading.season_file import read
from workbook.results.pipeline import check
from workbook.rules.answers import answered
from workbook.season.cells import Record
from workbook.season.season import Season
from workbook.sharing.answered import ANSWERED
from workbook.sharing.back import with_identities
from workbook.sharing.files import share_file
from workbook.sharing.identities import Keep
from workbook.sharing.key import Key, Named, read_key

pytestmark = pytest.mark.usefixtures("few_spare_rows")

LAID = lay_ready([{"ewe": "0412", "scanned": 2, "group": "Brook"}, {"ewe": "0415", "scanned": 1, "group": "Brook"}])
ROWS: dict[str, Sequence[Row]] = {
    **LAID,
    "season": [{"row_key": "flock", "value": "Quillfeather"}, {"row_key": "year", "value": 2026}],
    "groups": [{"group": "Brook", "ewes_to_ram": 2}],
    "lambing": [{**row, "lambed_on": date(2026, 4, 1), "born_alive": 2, "notes": "by the gate"} for row in LAID["lambing"][:1]]
    + LAID["lambing"][1:],
    "lambs": [{**LAID["lambs"][0], "born": Born.ALIVE, "tag": "88451", "sex": Sex.EWE, "birth_weight": 12.5}, *LAID["lambs"][1:]],
    "weights": [{"animal": "412", "date": date(2026, 7, 1), "kg": 70}, {"animal": "88451", "date": date(2026, 7, 1), "kg": 31}],
}


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], prog_name="lambing-workbook")


@pytest.fixture(scope="module")
def sent(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a flock, its shared copy and the key."""
    folder = tmp_path_factory.mktemp("sent")
    build(folder / "flock.xlsx", Plan("Quillfeather 2026", ROWS))
    share_file(folder / "flock.xlsx", folder / "copy.xlsx", folder / "key.xlsx")
    return folder


def contents(rows: Sequence[Record]) -> list[tuple[Mapping[str, Value], Mapping[str, Value]]]:
    return [(row.values, row.raw) for row in rows]


def are_rows_of_the_original(original: Season, back: Season) -> None:
    for sheet, rows in back.records.items():
        if sheet != "answers":
            written = contents(original.rows(sheet))
            assert [] == [row for row in contents(rows) if row not in written], sheet


@pytest.mark.parametrize("keep", [
    (), pytest.param((Keep.NOTES, Keep.PRODUCTS, Keep.TAGS, Keep.FLOCK_NAME), marks=pytest.mark.long)])
def test_records_of_the_messy_demo_come_back_as_they_were(keep: Sequence[Keep], tmp_path: Path) -> None:
    share_file(FOLDER / MESSY, tmp_path / "copy.xlsx", tmp_path / "key.xlsx", keep)
    original, copy = read(FOLDER / MESSY).season, read(tmp_path / "copy.xlsx").season
    back = with_identities(copy, original, read_key(tmp_path / "key.xlsx"))
    assert contents(copy.rows("ewes")) != contents(original.rows("ewes"))
    for sheet in ("season", "policy", "groups", "ewes", "lambing", "lambs", "weights", "counts", "ewe_check", "treatments"):
        assert contents(original.rows(sheet)) == contents(back.rows(sheet)), sheet


@settings(max_examples=examples(5), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=seasons(3))
def test_records_of_any_season_come_back_as_they_were(rows: dict[str, list[Row]]) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        build(folder / "flock.xlsx", Plan("Season", rows))
        share_file(folder / "flock.xlsx", folder / "copy.xlsx", folder / "key.xlsx")
        original, copy = read(folder / "flock.xlsx").season, read(folder / "copy.xlsx").season
        are_rows_of_the_original(original, with_identities(copy, original, read_key(folder / "key.xlsx")))


def test_a_name_that_stands_as_a_group_further_on_is_that_group_from_the_start(tmp_path: Path) -> None:
    rows = {"weights": [{"animal": "home", "kg": 20.0}], "counts": [{"group": "home", "lambs": 2}]}
    build(tmp_path / "flock.xlsx", Plan("Season", rows))
    share_file(tmp_path / "flock.xlsx", tmp_path / "copy.xlsx", tmp_path / "key.xlsx")
    original, copy = read(tmp_path / "flock.xlsx").season, read(tmp_path / "copy.xlsx").season
    assert copy.rows("counts")[0]["group"] == copy.rows("weights")[0]["animal"] != "home"
    back = with_identities(copy, original, read_key(tmp_path / "key.xlsx"))
    assert contents(original.rows("weights")) == contents(back.rows("weights"))


def returned(sent: Path, folder: Path) -> Path:
    """The copy as the adviser sends it back."""
    book = openpyxl.load_workbook(sent / "copy.xlsx")
    heads = {cell.value: cell.column for cell in book["Lambing"][3]}
    assert "E001" == book["Lambing"].cell(4, heads["Ewe"]).value
    book["Lambing"].cell(4, heads["Ewe"]).comment = Comment("ask about E001 and e002", "adviser")
    book["Lambing"].cell(4, heads["Notes"]).value = "E002 next to her, L0001 small"
    book["Lambing"].cell(4, heads["Born alive"]).value = 1
    checks = {cell.value: cell.column for cell in book["Ewe check"][3]}
    for title, value in (("Ewe", "E002"), ("Date", date(2026, 8, 1)), ("Udder", Udder.LUMP.label)):
        book["Ewe check"].cell(4, checks[title]).value = value
    book.create_sheet("Adviser")["A1"] = "cull E002"
    book.save(folder / "back.xlsx")
    return folder / "back.xlsx"


def test_what_the_adviser_wrote_is_at_the_right_rows(sent: Path, tmp_path: Path) -> None:
    back, merged = returned(sent, tmp_path), tmp_path / "merged.xlsx"
    done = run("merge", sent / "flock.xlsx", back, "--base", sent / "copy.xlsx", "--key", sent / "key.xlsx", "-o", merged)
    assert 0 == done.exit_code, done.output
    found = read(merged).season
    (row,) = (row for row in found.rows("lambing") if row["ewe"] == "0412")
    assert (1, "by the gate; 0415 next to her, 88451 small") == (row["born_alive"], row["notes"])
    assert ("0415", Udder.LUMP) == tuple(found.rows("ewe_check")[0][column] for column in ("ewe", "udder"))
    assert ["412", "88451"] == [row["animal"] for row in found.rows("weights")]
    assert "Quillfeather" == found.settings.text("flock")
    book = openpyxl.load_workbook(merged)
    assert "cull 0415" == book["Adviser"]["A1"].value
    assert "ask about 0412 and 0415" == book["Lambing"].cell(row.row, row.places["ewe"]).comment.text


def test_without_what_was_sent_a_correction_is_a_conflict_with_both_values(sent: Path, tmp_path: Path) -> None:
    done = run("merge", sent / "flock.xlsx", returned(sent, tmp_path), "--key", sent / "key.xlsx", "-o", tmp_path / "merged.xlsx")
    assert 1 == done.exit_code
    assert "0412" in done.output and "E001" not in done.output


def test_the_copy_put_back_alone_changes_nothing(sent: Path, tmp_path: Path) -> None:
    done = run("merge", sent / "flock.xlsx", sent / "copy.xlsx", "--key", sent / "key.xlsx", "-o", tmp_path / "merged.xlsx")
    assert (0, True) == (done.exit_code, "No conflicts" in done.output)
    before, after = read(sent / "flock.xlsx").season, read(tmp_path / "merged.xlsx").season
    for sheet in ("season", "ewes", "lambing", "lambs", "weights"):
        assert contents(before.rows(sheet)) == contents(after.rows(sheet)), sheet


def test_answers_on_a_marked_copy_come_back(sent: Path, tmp_path: Path) -> None:
    marked, merged = tmp_path / "marked.xlsx", tmp_path / "merged.xlsx"
    run("check", sent / "copy.xlsx", "--marked", marked)
    book = openpyxl.load_workbook(marked)
    page = book["To correct"]
    (row,) = (row for row in page.iter_rows() if {"E001-1", "12.5"} <= {str(cell.value) for cell in row})
    (heads,) = (row for row in page.iter_rows() if row[0].value == "Rule")
    answer = next(cell.column for cell in heads if str(cell.value).startswith("Right as written"))
    page.cell(row[0].row, answer).value = "weighed it myself"
    book.save(marked)
    done = run("merge", sent / "flock.xlsx", marked, "--key", sent / "key.xlsx", "-o", merged)
    assert done.exit_code in (0, 1), done.output
    rule = str(row[0].value)
    assert rule in {problem.rule.id for problem in check(read(sent / "flock.xlsx")).problems}
    assert rule not in {problem.rule.id for problem in check(read(merged)).problems if problem.found.row_name == "0412-1"}


def test_what_was_answered_on_the_farm_stays_answered(sent: Path, tmp_path: Path) -> None:
    first = check(read(sent / "flock.xlsx"))
    (slip,) = (problem for problem in first.problems if problem.place.sheet == "Lambs" and problem.found.value == "12.5")
    answer = {"rule": slip.rule.id, "sheet": "Lambs", "row_name": slip.found.row_name, "value": "12.5", "answer": "by Zebedee"}
    build(tmp_path / "flock.xlsx", Plan("Season", {**ROWS, "answers": [answer]}))
    told = run("share", tmp_path / "flock.xlsx", "-o", tmp_path / "copy.xlsx")
    assert "Stays answered: 1 problem" in told.output, told.output
    copy = read(tmp_path / "copy.xlsx")
    assert [ANSWERED] == [row["answer"] for row in copy.season.rows("answers")]
    assert 1 == len(answered(copy.season))
    assert slip.rule.id not in {problem.rule.id for problem in check(copy).problems if problem.found.value == "12.5"}
    done = run("merge", tmp_path / "flock.xlsx", tmp_path / "copy.xlsx", "--key", tmp_path / "flock-key.xlsx",
               "-o", tmp_path / "merged.xlsx")
    assert 0 == done.exit_code, done.output
    assert ["by Zebedee"] == [row["answer"] for row in read(tmp_path / "merged.xlsx").season.rows("answers")]


def test_decisions_in_a_summary_of_the_copy_are_about_the_right_ewes(sent: Path, tmp_path: Path) -> None:
    summary = tmp_path / "summary.xlsx"
    run("analyse", sent / "copy.xlsx", "-o", summary)
    book = openpyxl.load_workbook(summary)
    page = book[EWE_DECISIONS]
    (heads,) = (row for row in page.iter_rows() if EWE in [cell.value for cell in row])
    places = {cell.value: cell.column for cell in heads}
    row = next(row[0].row for row in page.iter_rows() if row[places[EWE] - 1].value == "E002")
    for title, value in ((OWN_WORD, "cull"), (WHY, "as E001 was")):
        page.cell(row, places[title]).value = value
    book.save(summary)
    following = tmp_path / "next.xlsx"
    plain = run("build", "--previous", sent / "flock.xlsx", "--decisions", summary, "-o", following)
    assert (2, True) == (plain.exit_code, "give the key" in plain.output)
    done = run("build", "--previous", sent / "flock.xlsx", "--decisions", summary, "--key", sent / "key.xlsx", "-o", following)
    assert following.is_file(), done.output
    assert ["0412"] == [row["ewe"] for row in read(following).season.rows("ewes")]
    assert "0412 was" in str([row.values for row in read(following).season.rows("left")])


def test_the_key_is_kept_from_one_copy_to_the_next(sent: Path, tmp_path: Path) -> None:
    key = tmp_path / "key.xlsx"
    key.write_bytes((sent / "key.xlsx").read_bytes())
    build(tmp_path / "flock.xlsx", Plan("Season", {**ROWS, "ewes": [{"ewe": "0001"}, *reversed(LAID["ewes"])]}))
    told = run("share", tmp_path / "flock.xlsx", "-o", tmp_path / "copy.xlsx", "--key", key)
    assert 0 == told.exit_code, told.output
    assert ["E003", "E002", "E001"] == [row["ewe"] for row in read(tmp_path / "copy.xlsx").season.rows("ewes")]
    assert set(read_key(sent / "key.xlsx").names) < set(read_key(key).names)
    assert {"key.xlsx", "flock.xlsx", "copy.xlsx"} == {path.name for path in tmp_path.iterdir()}


def test_a_key_that_somebody_saved_is_read_and_kept(sent: Path, tmp_path: Path) -> None:
    key = tmp_path / "key.xlsx"
    openpyxl.load_workbook(sent / "key.xlsx").save(key)
    build(tmp_path / "flock.xlsx", Plan("Season", {**ROWS, "ewes": [{"ewe": "0001"}, *LAID["ewes"]]}))
    assert 0 == run("share", tmp_path / "flock.xlsx", "-o", tmp_path / "copy.xlsx", "--key", key).exit_code
    assert 1 == len([path for path in tmp_path.iterdir() if path.name.startswith("key (before ")])


def test_a_key_of_another_copy_or_flock_is_refused(sent: Path, tmp_path: Path) -> None:
    build(tmp_path / "other.xlsx", Plan("Season", {**ROWS, "season": [{"row_key": "flock", "value": "Vexley"}]}))
    share_file(tmp_path / "other.xlsx", tmp_path / "shared.xlsx", tmp_path / "other-key.xlsx")
    wrong = run("merge", sent / "flock.xlsx", sent / "copy.xlsx", "--key", tmp_path / "other-key.xlsx")
    assert (2, True) == (wrong.exit_code, "is not the key of copy.xlsx" in wrong.output)
    flock = run("share", tmp_path / "other.xlsx", "-o", tmp_path / "again.xlsx", "--key", sent / "key.xlsx")
    assert (2, True) == (flock.exit_code, "the key of another flock, Quillfeather" in flock.output)
    none = run("merge", sent / "flock.xlsx", sent / "flock.xlsx", "--key", sent / "key.xlsx")
    assert (2, True) == (none.exit_code, "None of these is a shared copy" in none.output)
    alone = run("merge", sent / "copy.xlsx", sent / "copy.xlsx", "--key", sent / "key.xlsx")
    assert (2, True) == (alone.exit_code, "give the farm's own season workbook" in alone.output)
    no_key = run("merge", sent / "flock.xlsx", sent / "copy.xlsx", "--key", sent / "flock.xlsx")
    assert (2, True) == (no_key.exit_code, "is no key of names" in no_key.output)


@pytest.mark.parametrize("name", ["key.csv", "key.json"])
def test_a_key_is_a_workbook(sent: Path, tmp_path: Path, name: str) -> None:
    told = run("share", sent / "flock.xlsx", "-o", tmp_path / "copy.xlsx", "--key", tmp_path / name)
    assert (2, True) == (told.exit_code, "Choose one that ends in .xlsx" in told.output)


KEY = Key((Named("flock", "Flock 0123abcd", "Quillfeather"), Named("ewe", "E001", "0412"), Named("group", "Group A", "Brook")))


@pytest.mark.parametrize(("text", "said"), [
    ("E001", "0412"), ("e001", "0412"), ("E001-2", "0412-2"), ("E0012", "E0012"), ("E002", "E002"),
    ("see E001, thin", "see 0412, thin"),
    ("Group A", "Brook"), ("group a", "Brook"), ("a group a lot", "a group a lot"), ("Group AB", "Group AB"),
    ("Flock 0123abcd 2026", "Quillfeather 2026"), ("", ""),
])
def test_aliases_in_a_text(text: str, said: str) -> None:
    assert said == KEY.back(text)


def test_a_name_of_the_records_is_never_an_alias(tmp_path: Path) -> None:
    build(tmp_path / "flock.xlsx", Plan("Season", {"ewes": [{"ewe": "7"}, {"ewe": "e001"}, {"ewe": "9", "notes": "by E003"}]}))
    share_file(tmp_path / "flock.xlsx", tmp_path / "copy.xlsx", tmp_path / "key.xlsx")
    assert ["E002", "E004", "E005"] == [row["ewe"] for row in read(tmp_path / "copy.xlsx").season.rows("ewes")]


def test_what_lost_its_lines_is_no_key(sent: Path, tmp_path: Path) -> None:
    for spoil in ("flock", "head"):
        book = openpyxl.load_workbook(sent / "key.xlsx")
        page = book.active
        for line in page.iter_rows():
            if line[0].value in ({"flock": ("flock",), "head": ("What",)}[spoil]):
                line[0].value = None
        book.save(tmp_path / "key.xlsx")
        with pytest.raises(Told):
            read_key(tmp_path / "key.xlsx")
