"""Other names for what must not be known: each original has one alias, the same wherever it stands."""

from collections.abc import Callable
from dataclasses import dataclass, field
from string import ascii_uppercase

from workbook.season.matching import fold


def numbered(prefix: str, digits: int = 3) -> Callable[[int], str]:
    """Aliases E001, E002 and so on."""
    return lambda number: f"{prefix}{number:0{digits}d}"


def lettered(word: str) -> Callable[[int], str]:
    """Aliases "Group A" to "Group Z", then "Group AA" and so on."""
    def alias(number: int) -> str:
        letters = ""
        while number:
            number, last = divmod(number - 1, len(ascii_uppercase))
            letters = ascii_uppercase[last] + letters
        return f"{word} {letters}"

    return alias


@dataclass
class Aliases:
    """The aliases of one kind of name, given in the order in which the names are met. `keep` leaves every name as it is."""

    what: str
    make: Callable[[int], str]
    keep: bool = False
    same: Callable[[str], str] = fold  # names that are one and the same to the program get one alias
    given: dict[str, tuple[str, str]] = field(default_factory=dict)  # by name as matched: alias and original

    def of(self, name: str) -> str:
        """The alias of a name."""
        if self.keep:
            return name
        alias, _ = self.given.setdefault(self.same(name), (self.make(len(self.given) + 1), name))
        return alias

    def knows(self, name: str) -> bool:
        """Whether the name has been met."""
        return self.same(name) in self.given
