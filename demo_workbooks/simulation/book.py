"""The rows of a season looked up by ewe and by lamb, for finding the rows that a slip suits."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from template_builder.layout.choices import Born, EweLeft
from template_builder.layout.columns import Row


@dataclass(frozen=True)
class Book:
    """Rows by the number of the ewe they speak of, and the ewe that bore each lamb, by every name of the lamb."""

    ewes: Mapping[str, Row]
    lambing: Mapping[str, Row]
    lambs: Mapping[str, tuple[Row, ...]]
    borne_by: Mapping[str, str]

    @classmethod
    def of(cls, sheets: Mapping[str, Sequence[Row]]) -> "Book":
        lambs: dict[str, list[Row]] = defaultdict(list)
        borne_by: dict[str, str] = {}
        for row in sheets["lambs"]:
            if "ewe" in row:
                ewe = str(row["ewe"])
                lambs[ewe].append(row)
                borne_by |= {f"{ewe}-{row['lamb_no']}": ewe, str(row.get("tag")): ewe}
        return cls(
            {str(row["ewe"]): row for row in sheets["ewes"]}, {str(row["ewe"]): row for row in sheets["lambing"]},
            {ewe: tuple(rows) for ewe, rows in lambs.items()}, borne_by,
        )

    def ewe_of(self, row: Row) -> str:
        """The ewe a row of any sheet speaks of; empty for a group, a bought lamb or the whole flock."""
        if "ewe" in row:
            return str(row["ewe"])
        animal = str(row.get("animal", ""))
        return animal if animal in self.ewes else self.borne_by.get(animal, "")

    def lambed_on(self, ewe: str) -> date | None:
        day = self.lambing.get(ewe, {}).get("lambed_on")
        return day if isinstance(day, date) else None

    def born(self, ewe: str) -> int:
        """Her lambs born, alive or dead."""
        return sum(row.get("born") in (Born.ALIVE, Born.DEAD_FRESH, Born.DEAD_DECAYED) for row in self.lambs.get(ewe, ()))

    def ordinary(self, ewe: str) -> bool:
        """Whether she is here, lambed as scanned, and all her lambs are alive, tagged and on her."""
        lambs = self.lambs.get(ewe, ())
        plain = all(row.get("born") is Born.ALIVE and "tag" in row and not {"left_on", "moved_on"} & row.keys() for row in lambs)
        return bool(lambs) and plain and "left_on" not in self.ewes[ewe] and len(lambs) == self.ewes[ewe].get("scanned")

    def first(self, **cells: object) -> str:
        """The first ewe whose row on Ewes, or one of whose lambs, has these cells."""
        for ewe, row in self.ewes.items():
            if any(cells.items() <= candidate.items() for candidate in (row, *self.lambs.get(ewe, ()))):
                return ewe
        raise LookupError(f"no ewe with {cells}")

    def died(self) -> str:
        return self.first(left_how=EweLeft.DIED)

    def died_with_lambs(self) -> str:
        """A ewe that died after she had lambed."""
        died = (ewe for ewe, row in self.ewes.items() if row.get("left_how") is EweLeft.DIED and self.lambed_on(ewe))
        return next(died)

    def lambs_alive(self, ewe: str) -> bool:
        return any(row.get("born") is Born.ALIVE for row in self.lambs.get(ewe, ()))

    def last_to_lamb(self, like: str) -> str:
        """The last ordinary ewe to lamb of the group that a ewe runs with."""
        group = self.ewes[like].get("group")
        return max(
            (ewe for ewe, row in self.ewes.items() if row.get("group") == group and self.lambed_on(ewe) and self.ordinary(ewe)),
            key=lambda ewe: (self.lambed_on(ewe), ewe),
        )

    def aborted(self) -> str:
        return self.first(born=Born.ABORTED)
