"""Notes on cells: lines that begin "To correct:" are the program's, every other line is the person's and stays."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from template_builder.files.look import RUST
from template_builder.layout.addresses import letters
from workbook.output.marking.marks import NOTE_START
from workbook.output.marking.markup import Markup, Node, escaped
from workbook.output.marking.note_boxes import EMPTY_DRAWING, set_boxes
from workbook.output.marking.package import Package
from workbook.output.marking.relations import Links, state_ending, state_type
from workbook.output.marking.stored import Place, place_of

AUTHOR = "Lambing workbook"
NOTES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
DRAWING_TYPE = "application/vnd.openxmlformats-officedocument.vmlDrawing"
EMPTY_NOTES = (
    '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    '<comments xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><authors/><commentList/></comments>'
)
LETTERING = f'<{{p}}rPr><{{p}}b/><{{p}}sz val="9"/><{{p}}color rgb="FF{RUST[1:]}"/><{{p}}rFont val="Tahoma"/></{{p}}rPr>'

Notes = Mapping[Place, tuple[str, ...]]


class _Changes(NamedTuple):
    """Cells whose note is new, and cells that have none any more."""

    added: Notes
    removed: frozenset[Place]


def set_notes(package: Package, sheet: str, drawing_link: str | None, notes: Notes) -> str | None:
    """Replace the program's lines in the notes of a sheet by these.

    `drawing_link` is the sheet's link to the drawing of its notes; where it has none and needs one, the id of a new
    link is given back, which the sheet must then state.
    """
    links = Links(package, sheet)
    part = links.of_kind("comments")
    if part is None:
        if not notes:
            return None
        part = package.free_name("xl/comments", ".xml")
        package.write(part, EMPTY_NOTES.encode("ascii"))
        state_type(package, part, NOTES_TYPE)
        links.add("comments", part)
    markup = Markup(package.markup(part))
    changes = _change(markup, notes)
    package.write(part, markup.result())
    drawing = links.of_id(drawing_link) if drawing_link else None
    if drawing:
        package.write(drawing, set_boxes(package.markup(drawing), changes.added, changes.removed))
        return None
    return _new_drawing(package, links, changes.added) if changes.added else None


def _new_drawing(package: Package, links: Links, added: Notes) -> str:
    drawing = package.free_name("xl/drawings/vmlDrawing", ".vml")
    state_ending(package, "vml", DRAWING_TYPE)
    package.write(drawing, set_boxes(EMPTY_DRAWING.encode("ascii"), added, frozenset()))
    return links.add("vmlDrawing", drawing)


def has_own_lines(data: bytes) -> bool:
    """Whether a part with notes may hold lines of the program."""
    return NOTE_START.encode("ascii") in data


def _change(markup: Markup, notes: Notes) -> _Changes:
    """Take the program's lines out of every note and put these in."""
    listed = markup.root.child("commentList")
    if listed is None:
        raise ValueError("no list of notes")
    waiting = dict(notes)
    removed: set[Place] = set()
    for note in listed.named("comment"):
        place = place_of(note.attributes.get("ref", ""))
        if _clean(markup, note):
            lines = waiting.pop(place, ())
            if lines:
                _append_run(markup, note, lines)
        else:
            markup.remove(note)
            removed.add(place)
    if waiting:
        author = _author(markup)
        markup.append(listed, "".join(_note(markup.prefix, place, lines, author) for place, lines in sorted(waiting.items())))
    return _Changes(waiting, frozenset(removed))


def _texts(note: Node) -> list[tuple[Node, Node | None]]:
    """The texts of a note in order, each with the run it stands in. Reading aids for Japanese are none."""
    body = note.child("text")
    if body is None:
        return []
    plain = [(text, None) for text in body.named("t")]
    return plain + [(text, run) for run in body.named("r") for text in run.named("t")]


def _clean(markup: Markup, note: Node) -> bool:
    """Take the program's lines out of a note; False, with nothing changed, where nothing else is in it."""
    texts = _texts(note)
    kept = [_others_lines(text.text) for text, _ in texts]
    if any(text.text != left for (text, _), left in zip(texts, kept, strict=True)) and not "".join(kept).strip():
        return False
    for (text, run), left in zip(texts, kept, strict=True):
        if left == text.text:
            continue
        if left.strip():
            markup.replace(text.start, text.end, _text(markup.prefix, left))
        else:
            markup.remove(run or text)
    return True


def _others_lines(text: str) -> str:
    return "\n".join(line for line in text.split("\n") if not line.startswith(NOTE_START))


def _append_run(markup: Markup, note: Node, lines: Iterable[str]) -> None:
    """Add the program's lines behind a note that is somebody's. A note without runs gets one around its text."""
    body = note.child("text")
    texts = _texts(note)
    before = "".join(_others_lines(text.text) for text, _ in texts)
    run_of_ours = _run(markup.prefix, "\n".join(lines) if before.endswith("\n") else "\n".join(("", *lines)))
    if body is None:
        markup.insert(note.inner, f"<{markup.prefix}text>{run_of_ours}</{markup.prefix}text>")
        return
    for text, run in texts:
        if run is None and _others_lines(text.text).strip():
            markup.insert(text.start, f"<{markup.prefix}r>")
            markup.insert(text.end, f"</{markup.prefix}r>")
    runs = body.named("r")
    last = runs[-1] if runs else texts[-1][0] if texts else None
    if last is not None:
        markup.insert(last.end, run_of_ours)
    else:
        markup.append(body, run_of_ours)


def _author(markup: Markup) -> int:
    """The number of the program among the authors of notes, added where it is not there yet."""
    authors = markup.root.child("authors")
    if authors is None:
        raise ValueError("no authors of notes")
    names = [node.text for node in authors.named("author")]
    if AUTHOR in names:
        return names.index(AUTHOR)
    markup.append(authors, f"<{markup.prefix}author>{AUTHOR}</{markup.prefix}author>")
    return len(names)


def _note(prefix: str, place: Place, lines: Iterable[str], author: int) -> str:
    row, column = place
    return (
        f'<{prefix}comment ref="{letters(column)}{row}" authorId="{author}"><{prefix}text>{_run(prefix, chr(10).join(lines))}'
        f"</{prefix}text></{prefix}comment>"
    )


def _run(prefix: str, text: str) -> str:
    return f"<{prefix}r>{LETTERING.format(p=prefix)}{_text(prefix, text)}</{prefix}r>"


def _text(prefix: str, text: str) -> str:
    return f'<{prefix}t xml:space="preserve">{escaped(text)}</{prefix}t>'
