"""Which farm is which letter. Letters hang on the flock's name, not on the order of files; a key keeps them from year to year."""

import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from string import ascii_uppercase
from typing import NamedTuple

from template_builder.files.look import STRONG
from template_builder.files.opening import open_cells
from template_builder.files.progress import Tell, silent
from template_builder.files.tab import Head, Tab
from template_builder.files.told import Told
from template_builder.files.writer import Book, new_book
from template_builder.layout.group_tabs import KEY
from workbook.comparing.farm import Farm
from workbook.season.matching import fold

HEADS = (Head("Letter", STRONG), Head("Flock"), Head("File"), Head("Year"))
WIDTHS = (12.0, 42.0, 46.0, 12.0)
NOTE = "Which farm is which letter. Keep it to yourself: the group workbook can be sent on, this cannot."


class Named(NamedTuple):
    """A line of the key."""

    letter: str
    flock: str
    file: str
    year: str = ""


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB and so on, from 0."""
    before, last = divmod(number, len(ascii_uppercase))
    return (letter(before - 1) if before else "") + ascii_uppercase[last]


def lettered(farms: Iterable[Farm], key: Sequence[Named] = ()) -> tuple[Farm, ...]:
    """The farms with their letters, in the order of these: those of the key, and for the others the next that are free.

    New letters run by a fingerprint of the name, so that they follow neither the alphabet nor the order of the files.
    """
    all_farms = tuple(farms)
    once = Counter(fold(farm.flock) for farm in all_farms)
    known = {id(farm): found for farm in all_farms if (found := _known(farm, key, alone=once[fold(farm.flock)] == 1))}
    taken = {one.letter for one in key}
    free = (one for number in range(len(all_farms) + len(taken)) if (one := letter(number)) not in taken)
    new = sorted((farm for farm in all_farms if id(farm) not in known), key=_order)
    given = {**known, **{id(farm): one for farm, one in zip(new, free, strict=False)}}
    return tuple(sorted((replace(farm, letter=given[id(farm)]) for farm in all_farms), key=lambda farm: by_letter(farm.letter)))


def by_letter(name: str) -> tuple[int, str]:
    """How letters are put in order: Z before AA."""
    return len(name), name


def _known(farm: Farm, key: Sequence[Named], *, alone: bool) -> str:
    """The letter a key has for a farm: by the name of its flock, where one farm alone has it, else by that of its file."""
    named = fold(farm.flock)
    if named and alone and (found := [one.letter for one in key if fold(one.flock) == named]):
        return found[0]
    return next((one.letter for one in key if one.file == farm.file and (not named or not one.flock)), "")


def _order(farm: Farm) -> tuple[str, str]:
    name = fold(farm.flock) or farm.file
    return hashlib.sha256(name.encode("utf-8")).hexdigest(), farm.print


def key_of(farms: Sequence[Farm], before: Sequence[Named] = ()) -> tuple[Named, ...]:
    """The lines of the key: the farms of this group, and those of an earlier key that are not in it, so that none is reused."""
    now = {farm.letter: Named(farm.letter, farm.flock, farm.file, str(farm.year or "")) for farm in farms}
    found = {**{one.letter: one for one in before}, **now}
    return tuple(found[name] for name in sorted(found, key=by_letter))


def read_key(path: Path) -> tuple[Named, ...]:
    """The lines of a key written before; none where there is none. Raises Told for a file that is no key."""
    if not path.is_file():
        return ()
    tabs = open_cells(path).tabs
    if set(tabs) != {KEY}:
        raise Told(f"{path.name} is no key of letters: give the one that compare wrote, or another name with --key.")
    rows = [{cell.column: str(cell.value or "") for cell in row} for _, row in tabs[KEY]]
    lines = [Named(*(row.get(column, "").strip() for column in range(1, len(HEADS) + 1))) for row in rows]
    heads = Named(*(head.title for head in HEADS))
    if heads not in lines:
        raise Told(f"{path.name} has lost its headings {', '.join(heads)}: put them back, or give another name with --key.")
    return tuple(line for line in lines[lines.index(heads) + 1:] if line.letter.isalpha())


def write_key(path: Path, key: Sequence[Named], *, force: bool, tell: Tell = silent) -> None:
    """Write the key to a workbook of its own."""
    with new_book(path, title=KEY, force=force, tell=tell) as book:
        write_key_tab(book, key, KEY)


def write_key_tab(book: Book, key: Sequence[Named], footer: str) -> None:
    """Write the key as a tab."""
    tab = Tab(book, KEY, WIDTHS, footer, read=True)
    tab.title(KEY, NOTE)
    tab.heads_stay(tab.table(HEADS, [list(one) for one in key], name="key_of_letters", empty="No farms."))
