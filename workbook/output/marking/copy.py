"""Make a marked copy: read the person's file, cut the marks in, compare with the original, and only then hand it over."""

import posixpath
import struct
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path
from xml.parsers import expat

from template_builder.files.guard import Inspected, inspect
from template_builder.files.package import STYLES_TYPE
from template_builder.files.targets import check_targets
from template_builder.files.writing import WriteError, writing
from template_builder.files.written import stamped
from template_builder.layout.sheets.to_correct import TO_CORRECT
from workbook.output.marking.comparing import difference
from workbook.output.marking.looks import PLAIN_STYLES, Looks
from workbook.output.marking.marks import OWN_TEST, mark_test, notes_by_sheet
from workbook.output.marking.markup import Markup
from workbook.output.marking.notes import Notes, has_own_lines, set_notes
from workbook.output.marking.package import Package
from workbook.output.marking.relations import Links, state_type, workbook_part
from workbook.output.marking.rows import rows_for
from workbook.output.marking.rules_in_sheet import CELLS, link_notes, notes_link, own_rules, set_marks
from workbook.output.marking.stored import SHARED, Place, Stored, shared_texts, stored_cells
from workbook.output.marking.tab import sheet_part
from workbook.output.marking.tab_in_book import not_open, set_tab
from workbook.output.problem_text import count_words
from workbook.results.pipeline import Checked

OWN_TEST_WORDS = OWN_TEST.split('"')[1].encode("ascii")
_NOT_AS_EXPECTED = (
    zipfile.BadZipFile, zlib.error, struct.error, expat.ExpatError, KeyError, ValueError, IndexError, StopIteration,
    NotImplementedError,
)


class NotMarked(WriteError):
    """No marked copy was made; the sentence says why and what to do."""


def write_marked(checked: Checked, source: Path, target: Path, *, force: bool = False, anew: bool = False) -> None:
    """Write a copy of `source` to `target` with every problem of `checked` marked. Raises NotMarked, WriteError, Unreadable.

    The source is never changed. The copy is compared with it before it is put in place; where anything else differs than
    the marks, nothing is written. `anew` is for one that is brought up to date, as that of a folder.
    """
    check_targets([target], [source], force=force, anew=[target] if anew else ())
    _refuse_another_ending(source, target)
    inspected = inspect(source)
    _refuse_foreign_tab(checked, inspected)
    raw = source.read_bytes()
    try:
        copy = marked(raw, checked, inspected)
        differs = difference(raw, copy, TO_CORRECT.title)
    except _NOT_AS_EXPECTED as error:
        raise NotMarked(
            f"{source.name} could not be marked ({type(error).__name__}: {error}): it is laid out in a way not known here. Open "
            "it in a spreadsheet program, save a fresh copy as .xlsx and check that."
        ) from error
    if differs:
        raise NotMarked(
            f"{target} was not written: in the marked copy {differs} would have differed from {source.name}. "
            "Use the list of problems instead, and send the file to the maintainers with this line."
        )
    with writing(target, force=force, anew=anew) as temporary:
        temporary.write_bytes(copy)


def _refuse_another_ending(source: Path, target: Path) -> None:
    if target.suffix.casefold() != source.suffix.casefold():
        raise NotMarked(f"{target.name} must end in {source.suffix}, like the file it is a copy of. Give it such a name.")


def _refuse_foreign_tab(checked: Checked, inspected: Inspected) -> None:
    known = TO_CORRECT.title if TO_CORRECT.id in checked.season.records else None
    own = [tab for tab in inspected.sheet_parts if tab.casefold() == TO_CORRECT.title.casefold() and tab != known]
    if own:
        raise NotMarked(
            f"{checked.season.file} has a sheet {own[0]} that was not made by this program, and the marked copy needs one of "
            "that name. Rename yours, save, and check again."
        )


def marked(raw: bytes, checked: Checked, inspected: Inspected) -> bytes:
    """The bytes of the marked copy of a workbook."""
    package = Package(raw)
    book = workbook_part(package)
    links = Links(package, book)
    styles = links.of_kind("styles") or _styles_added(package, links)
    looks = Looks(package.markup(styles))
    notes = notes_by_sheet(checked.problems)
    tabs = {tab: part for tab, part in inspected.sheet_parts.items() if tab != TO_CORRECT.title}
    for tab, part in tabs.items():
        if tab in notes or _marked_before(package, part):
            _mark_sheet(package, part, notes.get(tab, {}), looks, links.of_kind("sharedStrings"))
    for part in tabs.values():
        data = package.markup(part)
        if (closed := not_open(data)) is not data:
            package.write(part, closed)
    rows = rows_for(checked.problems, checked.season.rows(TO_CORRECT.id), tabs)
    title = f"{TO_CORRECT.title}: {count_words(checked.problems)}" if checked.problems else TO_CORRECT.title
    part = set_tab(package, book, inspected.sheet_parts.get(TO_CORRECT.title), sheet_part(rows, title, looks))
    package.write(styles, looks.data)
    others = {name: checksum for name, checksum in package.checksums.items() if name != part}
    package.write(part, stamped(package.read(part), others))
    return package.packed()


def _styles_added(package: Package, links: Links) -> str:
    """A list of styles for a workbook that has none: the looks every cell has without one."""
    part = package.free_name(posixpath.join(links.folder, "styles"), ".xml")
    package.write(part, PLAIN_STYLES)
    state_type(package, part, STYLES_TYPE)
    links.add("styles", part)
    return part


def _marked_before(package: Package, part: str) -> bool:
    """Whether a sheet may hold marks or notes from an earlier check."""
    comments = Links(package, part).of_kind("comments")
    return OWN_TEST_WORDS in package.markup(part).lower() or bool(comments and has_own_lines(package.markup(comments)))


def _mark_sheet(package: Package, part: str, notes: Notes, looks: Looks, texts: str | None) -> None:
    sheet = Markup(package.markup(part), closed=(CELLS,))
    if sheet.root.name != "worksheet":
        return
    stored = _with_texts(package, texts, stored_cells(sheet, notes))
    if notes or own_rules(sheet):
        look = looks.mark() if notes else 0
        set_marks(sheet, {place: mark_test(place, stored.get(place)) for place in notes}, look)
    link = set_notes(package, part, notes_link(sheet), notes)
    if link:
        link_notes(sheet, link)
    package.write(part, sheet.result())


def _with_texts(package: Package, texts: str | None, cells: Mapping[Place, Stored]) -> dict[Place, Stored]:
    """The cells with the text itself where the file gives its number in the list of shared texts."""
    numbers = {place: int(cell.text) for place, cell in cells.items() if cell.kind == SHARED}
    found = shared_texts(Markup(package.markup(texts), closed=("si",)), numbers.values()) if texts and numbers else {}
    return {**cells, **{place: Stored("str", found[number]) for place, number in numbers.items()}}
