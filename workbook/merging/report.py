"""What a merge did, in words."""

from collections.abc import Iterator

from template_builder.layout.words import quoted, shown, so_many
from workbook.merging.files import Done
from workbook.merging.seasons import Conflict


def text(done: Done) -> str:
    """What was kept, what was left out, and every conflict by its cell in the merged workbook."""
    return "\n".join([f"Merged: {', '.join(done.files)}", *_kept(done), *_conflicts(done)])


def _kept(done: Done) -> Iterator[str]:
    for sheet, titles in done.own_columns.items():
        yield f"  your own columns on {sheet}, kept: {', '.join(titles)}"
    for own in done.own_sheets:
        yield f"  your own sheet {own.title}, kept as values: from {', '.join(own.files)}"
    kinds = ("colour", sum(bool(mark.fill) for mark in done.own_marks)), ("note", sum(bool(mark.note) for mark in done.own_marks))
    if told := [f"{number} {kind}{'s' if number > 1 else ''}" for kind, number in kinds if number]:
        yield f"  put on cells by you, kept: {', '.join(told)}"
    for mark in done.own_marks:
        if mark.words:
            yield f"  words beside a title, kept: {mark.source}: {quoted(mark.words)}"
    for note in done.notes:
        yield f"  {note}"
    for problem in done.left_out:
        yield f"  left out: {problem.place.file} {problem.place}: {problem.found.text}"
    for mark in done.marks_left_out:
        yield f"  left out, no cell for it in the merged workbook: {mark.source}: {quoted(mark.told)}"


def _conflicts(done: Done) -> Iterator[str]:
    if not done.conflicts:
        yield "No conflicts."
        return
    yield f"{so_many(len(done.conflicts), 'cell')} filled in differently; the values are on the sheet Conflicts too:"
    yield from (f"  {_conflict(conflict)}" for conflict in done.conflicts)


def _conflict(conflict: Conflict) -> str:
    claims = " or ".join(f"{quoted(shown(claim.value))} ({claim.source})" for claim in conflict.claims)
    stands = "left blank" if conflict.stands is None else f"as before: {quoted(shown(conflict.stands))}"
    return f"{conflict.sheet.title}!{conflict.cell} {conflict.row_name}, {conflict.heading}: {claims}; {stands}"
