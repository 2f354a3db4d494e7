"""A shared copy: no name, number, tag or note of the original is in any part of it, and its figures are the same."""

import json
import zipfile
from collections import Counter
from datetime import datetime
from email import message_from_bytes, policy
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner
from openpyxl.comments import Comment

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, EweLeft, Sex, TreatedFor
from template_builder.layout.columns import OWN, Row
from workbook.cli import main
from workbook.commands.exchange import KEPT_IF_ASKED
from workbook.output.report import headline, result_json
from workbook.reading.season_file import read
from workbook.results.pipeline import Result, analyse
from workbook.sharing.identities import Keep, in_program_words
from workbook.sharing.key import read_key

pytestmark = pytest.mark.usefixtures("few_spare_rows")

AS_OF = datetime(2026, 8, 31, 12, 0)
SECRETS = ("Quillfeather", "Zebedee", "77123", "Bramblewick", "Orlando", "826012345600045", "Mottlestone", "Peregrine",
           "01632960961", "Snapdragon", "Tarragon", "Vexley", "Wolverley", "88451")
ROWS: dict[str, list[Row]] = {
    "season": [{"row_key": "flock", "value": "Quillfeather"}, {"row_key": "vet", "value": "Vexley 01632960961"},
               {"row_key": "farm", "value": 1632960961}, {"row_key": "year", "value": 2026}],
    "groups": [{"group": "Bramblewick", "ewes_to_ram": 3, "notes": "by Wolverley bridge"}],
    "ewes": [
        {"ewe": "77123", "scanned": 2, "group": "Bramblewick", "ram": "Orlando", "official_tag": "826012345600045",
         "also_known_as": "Mottlestone", "notes": "from Zebedee", "past_udder": "lump 2025", OWN + "Tarragon": "Tarragon"},
        {"ewe": "77124", "scanned": 1, "group": "Bramblewick", "left_how": EweLeft.SOLD, "left_why": "to Zebedee"},
    ],
    "lambing": [{"ewe": "77123", "born_alive": 2, "recorded_by": "Peregrine", "notes": "Peregrine helped", "help": "Zebedee"}],
    "lambs": [{"ewe": "77123", "lamb_no": 1, "born": Born.ALIVE, "sex": Sex.EWE, "tag": "88451", "birth_weight": 4.5},
              {"ewe": "77123", "lamb_no": 2, "born": Born.DEAD_FRESH, "electronic_tag": "826012345600045"}],
    "weights": [{"animal": "88451", "kg": 20}, {"animal": "77123-2", "kg": 19}, {"animal": "Snapdragon", "kg": 18}],
    "treatments": [{"given_to": TreatedFor.EWE, "animal": "Mottlestone", "product": "Snapdragon", "given_by": "Peregrine"}],
    "answers": [{"rule": "C105", "row_name": "77123", "answer": "Zebedee looked", "answered_by": "Peregrine"}],
}


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("farm") / "Quillfeather-season.xlsx"
    build(path, Plan("Quillfeather 2026", ROWS))
    book = openpyxl.load_workbook(path)
    book.properties.creator = "Zebedee"
    book["Ewes"]["B4"].comment = Comment("ask Zebedee", "Zebedee")
    book.create_sheet("Wolverley")["A1"] = "Zebedee"
    book["Wolverley"].sheet_state = "hidden"
    book.save(path)
    return path


def share(season: Path, folder: Path, *more: str) -> tuple[Path, str]:
    target = folder / "copy.xlsx"
    told = CliRunner().invoke(main, ["share", str(season), "-o", str(target), "--key", str(folder / "key.xlsx"), *more])
    assert 0 == told.exit_code, told.output
    return target, told.output


def parts(path: Path) -> str:
    with zipfile.ZipFile(path) as file:
        return "\n".join(name + file.read(name).decode("utf-8", "replace") for name in file.namelist())


def test_nothing_of_the_original_is_in_any_part(season: Path, tmp_path: Path) -> None:
    before, after = parts(season), parts(share(season, tmp_path)[0])
    assert [] == [word for word in SECRETS if word not in before]
    assert [] == [word for word in (*SECRETS, "1632960961") if word.casefold() in after.casefold()]


@pytest.mark.parametrize("name", ["season-clean.xlsx", pytest.param("hill-season.xlsx", marks=pytest.mark.long)])
def test_figures_are_those_of_the_original(name: str, tmp_path: Path) -> None:
    original = Path(__file__).parents[1] / "demo_workbooks" / name
    before, after = (analyse(read(path, AS_OF)) for path in (original, share(original, tmp_path)[0]))
    assert numbers(before) == numbers(after)


def numbers(result: Result) -> object:
    """All figures, the account and losses, and how many ewes each decision is for."""
    found = json.loads(result_json(result))
    decisions = Counter(ewe["decision"] for ewe in found["ewes"])
    return [(one["id"], one["value"]) for one in found["figures"]], found["account"], decisions, found["life_table"]


def test_rows_point_to_the_same_animals(season: Path, tmp_path: Path) -> None:
    found = read(share(season, tmp_path)[0]).season
    assert ["E001", "E002"] == [row["ewe"] for row in found.rows("ewes")]
    assert ["L0001", "E001-2", "X001"] == [row["animal"] for row in found.rows("weights")]
    assert ["E001"] == [row["animal"] for row in found.rows("treatments")]
    assert ["lump 2025", None] == [row["past_udder"] for row in found.rows("ewes")]


def test_key_says_which_is_which(season: Path, tmp_path: Path) -> None:
    share(season, tmp_path)
    names = read_key(tmp_path / "key.xlsx").names
    assert {("ewe", "E001", "77123"), ("group", "Group A", "Bramblewick")} <= set(names)
    assert "Quillfeather" == read_key(tmp_path / "key.xlsx").flock.original


def test_what_is_kept_if_asked(season: Path, tmp_path: Path) -> None:
    """Each of the words alone is tried in test_identities."""
    after = parts(share(season, tmp_path, "--keep", "tags", "--keep", "people")[0])
    assert ["88451", "Peregrine"] == [word for word in ("77123", "Bramblewick", "Orlando", "88451", "Peregrine") if word in after]


def test_words_of_the_command_are_those_inside() -> None:
    assert [one.value for one in Keep] == list(KEPT_IF_ASKED)


def test_message_draft(season: Path, tmp_path: Path) -> None:
    copy, _ = share(season, tmp_path, "--email", str(tmp_path / "to.eml"))
    message = message_from_bytes((tmp_path / "to.eml").read_bytes(), policy=policy.default)
    (attached,) = message.iter_attachments()
    assert copy.read_bytes() == attached.get_payload(decode=True)
    words = message.get_body().get_content()  # type: ignore[union-attr]  # a draft has words
    assert "2026" in words and copy.name in words and "send it back" in " ".join(words.split())
    assert set(headline(analyse(read(copy))).splitlines()) < set(words.splitlines())
    assert "Left as written" not in words
    assert [] == [word for word in SECRETS if word in words + message["Subject"]]


def test_message_says_what_was_left_as_written(season: Path, tmp_path: Path) -> None:
    share(season, tmp_path, "--email", str(tmp_path / "to.eml"), "--keep", "ewe-numbers", "--keep", "people")
    message = message_from_bytes((tmp_path / "to.eml").read_bytes(), policy=policy.default)
    words = message.get_body().get_content()  # type: ignore[union-attr]  # a draft has words
    assert "Left as written: ewe numbers, people." in words


@pytest.mark.parametrize(("text", "harmless"), [
    ("lump 2025", True), ("12", True), ("123", False), ("1899", False), ("lump, Zebedee 2025", False), ("", True),
])
def test_histories_stay_where_they_name_nobody(text: str, harmless: bool) -> None:
    assert harmless is in_program_words(text)


def test_no_input_is_written_over(season: Path, tmp_path: Path) -> None:
    told = CliRunner().invoke(main, ["share", str(season), "-o", str(season), "--key", str(tmp_path / "key.xlsx"), "--force"])
    assert 2 == told.exit_code
    assert not (tmp_path / "key.xlsx").exists()


@pytest.mark.parametrize(("option", "name"), [("--key", "there.xlsx"), ("--email", "there.eml")])
def test_a_file_that_is_there_stops_it_before_anything_is_written(
    season: Path, tmp_path: Path, option: str, name: str,
) -> None:
    there = tmp_path / name
    there.write_text("mine")
    told = CliRunner().invoke(main, ["share", str(season), "-o", str(tmp_path / "copy.xlsx"), "--key", str(tmp_path / "key.xlsx"),
                                     option, str(there)])
    assert 2 == told.exit_code
    assert [name] == [path.name for path in tmp_path.iterdir()]
    assert "mine" == there.read_text()


def test_a_summary_is_refused_by_name(tmp_path: Path) -> None:
    summary = Path(__file__).parents[1] / "demo_workbooks" / "season-clean-summary.xlsx"
    told = CliRunner().invoke(main, ["share", str(summary), "-o", str(tmp_path / "copy.xlsx"), "--key", str(tmp_path / "k.xlsx")])
    assert 2 == told.exit_code
    assert "season-clean-summary.xlsx is a summary" in told.output
    assert [] == list(tmp_path.iterdir())
