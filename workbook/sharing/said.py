"""What a shared copy holds, in words: what was replaced, what was left out, what stays as it was."""

from collections.abc import Iterator

from template_builder.layout.words import so_many
from workbook.sharing.identities import Shared


def said(shared: Shared) -> str:
    """The lines for the terminal."""
    return "\n".join(_lines(shared))


def _lines(shared: Shared) -> Iterator[str]:
    for kind in shared.aliases:
        if kind.keep:
            yield f"Stays as written: {kind.what}"
        elif kind.given:
            yield f"Replaced: {kind.what}, {len(kind.given)} (from {next(iter(kind.given.values())).alias} on)"
    for heading, cells in sorted(shared.emptied.items()):
        yield f"Emptied: {heading}, {so_many(cells, 'cell')}"
    for what in shared.left_out:
        yield f"Left out: {what}"
    if shared.answered:
        yield f"Stays answered: {so_many(shared.answered, 'problem')}, without what was written"
    yield "Stays as it was: dates, counts, weights, scores, list values, settings that are numbers, the selection policy"
