"""Shared copies among those that are merged: they get the farm's own names first, by their key."""

from dataclasses import replace
from functools import partial
from pathlib import Path

from template_builder.files.told import Told
from workbook.merging.files import Given, Naming
from workbook.merging.own_marks import OwnMark
from workbook.sharing.back import with_identities, with_names
from workbook.sharing.key import Key, alias_of_flock, must_fit, read_key


def naming(key: Path | None) -> Naming:
    """How copies to merge get their names; without a key a shared copy is refused."""
    return partial(_named, read_key(key) if key else None, key.name if key else "")


def _named(key: Key | None, called: str, given: Given) -> Given:
    """Raises Told for a shared copy without its key or with another, and for a key that no copy needs."""
    for cells in given.cells:
        must_fit(key, cells, called)
    if key is None:
        return given
    shared = [bool(alias_of_flock(cells)) for cells in given.cells]
    if not any(shared):
        raise Told(f"None of these is a shared copy, and {called} is the key of one: leave --key out, or give the copy that came "
                   "back as well.")
    if all(shared):
        raise Told("These are all shared copies: give the farm's own season workbook as well, into which they go.")
    original = given.readings[shared.index(False)].season
    names = {cells.file for cells, is_shared in zip(given.cells, shared, strict=True) if is_shared}

    def mark(one: OwnMark) -> OwnMark:
        if not any(one.source.startswith(f"{name} ") for name in names):
            return one
        return replace(one, note=key.back(one.note), words=key.back(one.words))

    readings = [
        replace(reading, season=with_identities(reading.season, original, key)) if is_shared else reading
        for reading, is_shared in zip(given.readings, shared, strict=True)
    ]
    named = [with_names(found, key, reading.season.own_sheets) if is_shared else found
             for found, reading, is_shared in zip(given.cells, readings, shared, strict=True)]
    return Given(named, readings, mark)
