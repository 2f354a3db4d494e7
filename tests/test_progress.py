"""Progress as it stands in the workbook: every total beside its words, the table beside them, nothing written over another."""

from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path

import pytest
from live_cells import in_rows

from template_builder.build import Plan, build
from template_builder.files.opening import open_cells
from template_builder.layout.choices import Born, LambLeft, RearedBy
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from template_builder.layout.whole import PROGRESS_TAB
from template_builder.live.columns import CELLS
from template_builder.live.progress import BESIDE, SO_FAR
from template_builder.live_values import live_values, with_values

NOW = datetime(2026, 3, 25, 3)
SCANS = (None, 0, 1, 1, 2, 2, 2, 3, 4, 5)
BY_SIZE = [("Scanned", "Ewes", "Lambed"), ("not scanned", 1, 0), ("empty", 1, 0), ("1", 2, 1), ("2", 3, 1), ("3", 1, 1),
           ("4 or more", 2, 1)]
Cells = Mapping[tuple[int, int], object]  # by column and row


def flock() -> dict[str, list[Row]]:
    """Of the ewes in lamb every second one has lambed."""
    rows = lay_ready([{"ewe": f"{n}", **({} if scan is None else {"scanned": scan})} for n, scan in enumerate(SCANS)])
    rows["lambing"] = [{**row, "lambed_on": date(2026, 3, 20)} if int(str(row["ewe"])) % 2 else row for row in rows["lambing"]]
    return rows


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory, few_spare_rows: None) -> Cells:
    path: Path = tmp_path_factory.mktemp("progress") / "season.xlsx"
    build(path, with_values(Plan("Progress", flock()), NOW))
    found = {(cell.column, number): cell.value for number, line in open_cells(path).tabs[PROGRESS_TAB] for cell in line}
    return dict(sorted(found.items()))


def test_each_total_stands_beside_what_it_counts(page: Cells) -> None:
    cells = in_rows(live_values(flock(), NOW))[CELLS][0]
    totals = [(cell.words, cells[cell.id]) for _, listed in (*SO_FAR, *BESIDE) for cell in listed]
    beside = [(words, page[column + 2, row]) for (column, row), words in page.items() if (column + 2, row) in page]
    assert totals == [(words, number) for words, number in beside if isinstance(number, int)][:len(totals)]


def test_ewes_by_what_was_scanned_and_how_many_of_them_lambed(page: Cells) -> None:
    (left, top) = next(at for at, value in page.items() if value == BY_SIZE[0][0])
    assert left == 1 + max(column for column, row in page if column < left and row > top)  # close beside the totals
    assert BY_SIZE == [tuple(page[left + column, top + row] for column in range(3)) for row in range(len(BY_SIZE))]


LAMBS: tuple[tuple[Row, int], ...] = (
    ({"born": Born.ALIVE}, 5), ({"born": Born.DEAD_FRESH}, 3), ({"born": Born.DEAD_DECAYED}, 2), ({"born": Born.MUMMIFIED}, 1),
    ({"born": Born.ABORTED}, 4), ({"born": Born.ALIVE, "left_how": LambLeft.DIED}, 6),
    ({"born": Born.ALIVE, "left_how": LambLeft.MISSING}, 7), ({"born": Born.ALIVE, "left_how": LambLeft.SOLD}, 8),
    ({"born": Born.ALIVE, "reared_by": RearedBy.PET}, 9), ({"born": Born.ALIVE, "reared_by": RearedBy.NO_EWE}, 10),
    ({"born": Born.ALIVE, "reared_by": RearedBy.FOSTER_EWE, "foster_ewe": "2"}, 11),
)


def test_lambs_are_counted_by_what_became_of_them() -> None:
    lambs: list[Row] = [{"ewe": "1", **lamb} for lamb, number in LAMBS for _ in range(number)]
    cells = in_rows(live_values({"ewes": [{"ewe": "1"}, {"ewe": "2"}], "lambs": lambs}, NOW))[CELLS][0]
    assert {
        "born_alive": 56, "born_dead": 5, "lost_early": 5, "died": 6, "missing": 7, "sold": 8, "own_ewe": 5, "foster_ewe": 11,
        "pet": 9, "no_ewe": 10,
    } == {cell.id: cells[cell.id] for cell in BESIDE[0][1]}


def test_a_ewe_whose_row_cannot_be_read_is_counted() -> None:
    ewes: list[Row] = [{"ewe": "1", "scanned": "two or so"}, {"ewe": "2", "scanned": 2}]
    assert 1 == in_rows(live_values({"ewes": ewes}, NOW))[CELLS][0]["unread"]
