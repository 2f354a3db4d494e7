"""A shared copy come back: what was not written in is the farm's own, what was written in has the farm's names."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest
from seasons import FIRST_ROW, season
from test_identities import KEY

from template_builder.files.opening import Cell, Cells
from template_builder.layout.choices import Born, Sex, Udder
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from workbook.season.cells import Record
from workbook.season.decided import row_mark
from workbook.season.season import Season
from workbook.sharing.answered import ANSWERED
from workbook.sharing.back import summary_with_identities, with_identities, with_names
from workbook.sharing.identities import Keep, without_identities

ROWS: Mapping[str, Sequence[Row]] = {
    "season": [{"row_key": "flock", "value": "Quillfeather", "why": "older words"}, {"row_key": "moon", "value": 3},
               {"row_key": "gestation", "value": 145, "why": "older words"}],
    "ewes": [{"ewe": "0412", "group": "Brook", "notes": "by the gate"}, {"ewe": "0415", "group": "Brook"}],
    "lambing": [{"ewe": "0412", "row_key": "k1", "born_alive": 2, "notes": "by Zebedee"}, {"ewe": "0415", "row_key": "k2"}],
    "lambs": [{"ewe": "0412", "lamb_no": 1, "tag": "88451", "born": Born.ALIVE}],
}
ORIGINAL = season(**ROWS)
SENT = without_identities(ORIGINAL, key=KEY)


def come_back(change: Mapping[str, Mapping[int, Row]] | None = None, more: Mapping[str, Sequence[Row]] | None = None) -> Season:
    """The season as merged, of a copy with some cells changed (by sheet and place of the row) and some rows more."""
    rows = {id: [{**row, **(change or {}).get(id, {}).get(number, {})} for number, row in enumerate(found)]
            for id, found in SENT.rows.items()}
    added = {id: [*rows.get(id, ()), *found] for id, found in (more or {}).items()}
    return with_identities(season(file="copy.xlsx", **{**rows, **added}), ORIGINAL, SENT.key)


def values(rows: Sequence[Record]) -> list[dict[str, Value]]:
    return [dict(row.values) for row in rows]


def test_what_nobody_touched_is_as_the_farm_wrote_it() -> None:
    assert "E001" == SENT.rows["ewes"][0]["ewe"] and "notes" not in SENT.rows["ewes"][0]
    back = come_back()
    for sheet in ("ewes", "lambing", "lambs"):
        assert values(ORIGINAL.rows(sheet)) == values(back.rows(sheet))
    assert [{**row} for row in ROWS["season"] if row["row_key"] != "moon"] == values(back.rows("season"))
    assert "Lambing season" == back.called


def test_what_was_written_in_has_the_names_of_the_farm() -> None:
    written = {0: {"born_dead": 1, "notes": "as E002"}, 1: {"notes": "see L0001"}}
    back = come_back({"lambing": written, "ewes": {1: {"group": "Group B"}}})
    first, second = back.rows("lambing")
    assert {"ewe": "0412", "row_key": "k1", "born_alive": 2, "born_dead": 1, "notes": "by Zebedee; as 0415"} == first.values
    assert {"ewe": "0415", "row_key": "k2", "notes": "see 88451"} == second.values
    assert "Group B" == back.rows("ewes")[1]["group"]


@pytest.mark.parametrize(("written", "expected"), [(146, 146), (145, 145), (None, None)])
def test_a_setting_changed_or_emptied_in_the_copy_is_changed(written: int | None, expected: int | None) -> None:
    back = come_back({"season": {1: {"value": written, "why": "this program's words"}}})
    found = back.rows("season")[1].values
    assert ("gestation", expected, "older words") == tuple(found.get(one) for one in ("row_key", "value", "why"))


def test_the_flock_renamed_in_the_copy_is_renamed() -> None:
    assert "Fernside" == come_back({"season": {0: {"value": "Fernside"}}}).rows("season")[0]["value"]


def test_a_row_that_was_not_sent_is_new_and_its_hidden_mark_is_nobodys() -> None:
    back = come_back(more={"ewe_check": [{"ewe": "E002", "udder": Udder.LUMP}],
                           "lambs": [{"ewe": "E001", "lamb_no": 2, "sex": Sex.EWE, "row_key": "k9"}]})
    assert [{"ewe": "0415", "udder": Udder.LUMP}] == values(back.rows("ewe_check"))
    assert {"ewe": "0412", "lamb_no": 2, "sex": Sex.EWE} == back.rows("lambs")[1].values


def test_rows_are_known_again_after_a_sort() -> None:
    rows = {**SENT.rows, "lambing": [*reversed(SENT.rows["lambing"])]}
    back = with_identities(season(file="copy.xlsx", **rows), ORIGINAL, SENT.key)
    assert values(ORIGINAL.rows("lambing"))[::-1] == values(back.rows("lambing"))


def test_answers_given_on_the_farm_are_not_given_twice() -> None:
    rule: Row = {"rule": "C116", "sheet": "Lambs", "value": "12.5"}
    back = come_back(more={"answers": [{**rule, "row_name": "E001-1", "answer": ANSWERED},
                                       {**rule, "row_name": "E002", "answer": "as E001 says"}]})
    assert [{**rule, "row_name": "0415", "answer": "as 0412 says"}] == values(back.rows("answers"))


def test_an_unreadable_cell_of_the_farm_comes_back_with_its_words_unless_it_was_written_over() -> None:
    (row,) = ORIGINAL.rows("lambs")
    unread = replace(row, values={**row.values, "birth_weight": NOT_KNOWN}, raw={"birth_weight": "about 4"})
    original = replace(ORIGINAL, records={**ORIGINAL.records, "lambs": (unread,)})
    sent = without_identities(original, key=KEY)
    for written, found in ((NOT_KNOWN, (NOT_KNOWN, {"birth_weight": "about 4"})), (4.5, (4.5, {}))):
        copy = season(file="copy.xlsx", **{**sent.rows, "lambs": [{**sent.rows["lambs"][0], "birth_weight": written}]})
        (back,) = with_identities(copy, original, sent.key).rows("lambs")
        assert found == (back.values["birth_weight"], back.raw)


def test_what_was_left_as_written_comes_back_as_it_is() -> None:
    sent = without_identities(ORIGINAL, [Keep.NOTES, Keep.EWE_NUMBERS], KEY)
    copy = season(file="copy.xlsx", **{**sent.rows, "ewes": [{**row, "notes": "seen"} for row in sent.rows["ewes"]]})
    back = with_identities(copy, ORIGINAL, sent.key)
    assert ["seen", "seen"] == [row["notes"] for row in back.rows("ewes")]
    assert ["by Zebedee", None] == [row["notes"] for row in back.rows("lambing")]


def test_the_cells_of_a_summary_have_the_names_and_the_hidden_marks_of_the_farm() -> None:
    line = (Cell(1, "E001"), Cell(2, row_mark("E001")), Cell(3, 7), Cell(4, "E001 and E002"))
    cells = Cells("summary.xlsx", {"Ewe decisions": ((FIRST_ROW, line),)})
    ((_, found),) = summary_with_identities(cells, SENT.key).tabs["Ewe decisions"]
    assert ["0412", row_mark("0412"), 7, "0412 and 0415"] == [cell.value for cell in found]


def test_only_the_tabs_named_are_given_names() -> None:
    cells = Cells("copy.xlsx", {name: ((1, (Cell(1, "E001"),)),) for name in ("Adviser", "Ewes")})
    found = with_names(cells, SENT.key, ["Adviser"])
    assert ["0412", "E001"] == [found.tabs[tab][0][1][0].value for tab in ("Adviser", "Ewes")]
