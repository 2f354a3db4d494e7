"""The key of shared copies: what each name in them stands for. It stays on the farm, and is kept from one copy to the next."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from secrets import token_hex
from typing import NamedTuple

from template_builder.files.look import STRONG
from template_builder.files.opening import Cells, open_cells
from template_builder.files.tab import Head
from template_builder.files.told import Told
from template_builder.layout.key_tab import NAMES, is_key_of_names
from workbook.season.matching import fold
from workbook.season.season import Season

FLOCK, STAYS = "flock", "stays as written"
HEADS = (Head("What"), Head("In the copy", STRONG), Head("Original"))
_OF_A_COPY = re.compile(r"\bFlock ([0-9a-f]{8})\b")
_ALIAS = re.compile(r"\b(?:[A-Za-z]\d{2,}|(?:Group|Ram|Breed|Person) [A-Z]+|Flock [0-9a-f]{8})\b")


class Named(NamedTuple):
    """A line of the key: what kind of name it is, its alias, and the name itself."""

    what: str
    alias: str
    original: str


@dataclass(frozen=True)
class Key:
    """What each name in a shared copy stands for; `stays` what was left as written when a copy was last made."""

    names: tuple[Named, ...]
    stays: tuple[str, ...] = ()

    @classmethod
    def new(cls, flock: str) -> "Key":
        """A key without animals yet; the flock's alias is drawn, so that no two farms have the same."""
        return cls((Named(FLOCK, f"Flock {token_hex(4)}", flock),))

    @property
    def flock(self) -> Named:
        return next(one for one in self.names if one.what == FLOCK)

    @cached_property
    def _originals(self) -> Mapping[str, str]:
        return {fold(one.alias): one.original for one in self.names}

    def back(self, text: str) -> str:
        """A text with every alias in it, as a whole word, as the name it stands for."""
        if (original := self._originals.get(fold(text))) is not None:
            return original
        return _ALIAS.sub(lambda found: self._originals.get(fold(found[0]), found[0]), text)


def alias_of_flock(cells: Cells) -> str:
    """The alias of the flock in a shared copy, or in a summary made from one; "" for any other workbook."""
    texts = (cell.value for lines in cells.tabs.values() for _, line in lines for cell in line if isinstance(cell.value, str))
    return next((found[0] for text in texts if "Flock " in text and (found := _OF_A_COPY.search(text))), "")


def must_fit(key: Key | None, cells: Cells, called: str) -> None:
    """Raise Told for a shared copy without its key, or with that of another; `called` is the key's own name."""
    alias = alias_of_flock(cells)
    if alias and key is None:
        raise Told(f"{cells.file} is a shared copy, or was made from one ({alias}): give the key that was written with it, with "
                   "--key.")
    if alias and key is not None and alias != key.flock.alias:
        raise Told(f"{called} is not the key of {cells.file}: it is that of {key.flock.alias}, and the file is {alias}. Give the "
                   "key that was written with it.")


def must_be_of(key: Key, called: str, season: Season) -> None:
    """Raise Told where a key is that of another flock: its aliases would stand for animals of both."""
    ours, theirs = season.settings.text("flock"), key.flock.original
    if ours and theirs and fold(ours) != fold(theirs):
        raise Told(f"{called} is the key of another flock, {theirs}: {season.file} is of {ours}. Give this flock's key, or "
                   "another name with --key.")


def read_key(path: Path) -> Key:
    """The key at `path`. Raises Told for a file that is none, or that has lost what it needs."""
    tabs = open_cells(path).tabs
    if not is_key_of_names(tabs):
        raise Told(f"{path.name} is no key of names: give the one that share wrote, or another name with --key.")
    rows = [{cell.column: str(cell.value) for cell in line} for _, line in tabs[NAMES]]
    lines = [Named(*(row.get(column, "").strip() for column in range(1, len(HEADS) + 1))) for row in rows]
    heads = Named(*(head.title for head in HEADS))
    if heads not in lines:
        raise Told(f"{path.name} has lost its headings {', '.join(heads)}: put them back, or give another key with --key.")
    below = [line for line in lines[lines.index(heads) + 1:] if line.what and line.alias]
    names = tuple(line for line in below if line.what != STAYS)
    if [FLOCK] != [line.what for line in names if line.what == FLOCK] or _twice(names):
        raise Told(f"{path.name} no longer says of each name in the copy what it stands for: give the key as share wrote it.")
    return Key(names, tuple(line.alias for line in below if line.what == STAYS))


def _twice(names: Iterable[Named]) -> bool:
    aliases = [fold(one.alias) for one in names]
    return len(aliases) != len(set(aliases))
