"""Copies to merge: a shared one needs its key, and a key needs a shared copy beside the farm's own workbook."""

from pathlib import Path

import pytest
from seasons import season

from template_builder.files.opening import Cell, Cells
from template_builder.files.told import Told
from workbook.merging.files import Given
from workbook.merging.own_marks import OwnMark
from workbook.reading.season_file import Reading
from workbook.sharing.key import FLOCK, Key, Named
from workbook.sharing.key_page import write_key
from workbook.sharing.naming import naming

ALIAS = "Flock 0123abcd"
KEY = Key((Named(FLOCK, ALIAS, "Quillfeather"), Named("ewe", "E001", "0412")))


def cells(name: str, title: str) -> Cells:
    return Cells(name, {"Guide": ((1, (Cell(1, title),)),), "Adviser": ((1, (Cell(1, "cull E001"),)),)})


FARM, COPY = cells("farm.xlsx", "Lambing season 2026"), cells("copy.xlsx", f"Lambing season 2026, {ALIAS}")
OTHER = cells("other.xlsx", "Lambing season 2026, Flock ffff0000")


def given(*those: Cells) -> Given:
    readings = [Reading(season(file=one.file, ewes=[{"ewe": "0412" if one is FARM else "E001"}]), ()) for one in those]
    return Given(those, readings)


@pytest.fixture
def key(tmp_path: Path) -> Path:
    write_key(tmp_path / "names.xlsx", KEY, force=False, anew=False)
    return tmp_path / "names.xlsx"


@pytest.mark.parametrize(("those", "with_key", "refused"), [
    ((FARM, COPY), False, "copy.xlsx is a shared copy"), ((FARM, OTHER), True, "names.xlsx is not the key of other.xlsx"),
    ((FARM, FARM), True, "None of these is a shared copy, and names.xlsx is the key of one"),
    ((COPY, COPY), True, "These are all shared copies"),
])
def test_what_cannot_be_merged_is_refused_by_name(key: Path, those: tuple[Cells, ...], with_key: bool, refused: str) -> None:
    with pytest.raises(Told, match=refused):
        naming(key if with_key else None)(given(*those))


def test_copies_that_nobody_shared_are_merged_as_they_are() -> None:
    found = given(FARM, FARM)
    assert found is naming(None)(found)


def test_the_copy_gets_the_names_of_the_farm_and_the_workbook_of_the_farm_stays_as_it_is(key: Path) -> None:
    found = naming(key)(given(FARM, COPY))
    assert FARM is found.cells[0]
    assert ["0412", "0412"] == [reading.season.rows("ewes")[0]["ewe"] for reading in found.readings]
    marks = [found.mark(OwnMark("Ewes", 4, 1, f"{one.file} Ewes!A4", note="E001", words="as E001")) for one in (FARM, COPY)]
    assert [("E001", "as E001"), ("0412", "as 0412")] == [(mark.note, mark.words) for mark in marks]
