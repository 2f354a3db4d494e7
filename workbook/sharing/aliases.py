"""Other names for what must not be known: each original has one alias, the same wherever it stands."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from string import ascii_uppercase

from workbook.season.matching import fold
from workbook.sharing.key import Named


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
    """The aliases of one kind of name, given in the order in which the names are met. `keep` leaves every name as it is.

    `same` says which names are one and the same to the program: these get one alias. No alias is one of the words `taken`:
    those given before, and what is written in the records anyway.
    """

    what: str
    make: Callable[[int], str]
    keep: bool = False
    same: Callable[[str], str] = fold
    taken: Collection[str] = ()
    given: dict[str, Named] = field(default_factory=dict)  # by name as matched
    _last: int = 0

    def of(self, name: str) -> str:
        """The alias of a name."""
        if self.keep:
            return name
        key = self.same(name)
        if key not in self.given:
            self.given[key] = Named(self.what, self._next(), name)
        return self.given[key].alias

    def _next(self) -> str:
        while True:
            self._last += 1
            alias = self.make(self._last)
            if fold(alias) not in self.taken:
                return alias

    def knows(self, name: str) -> bool:
        """Whether the name has been met."""
        return self.same(name) in self.given

    def met_before(self, names: Iterable[Named]) -> None:
        """Take over the aliases of an earlier copy."""
        for one in names:
            if one.what == self.what:
                self.given.setdefault(self.same(one.original), one)
