"""Rules and problems: a rule is declared once, a problem is a value that knows its cell."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from enum import Enum

from template_builder.layout.settings import Setting
from workbook.season.cells import CellRef
from workbook.season.season import Season


class Severity(Enum):
    """Error: a figure resting on it is not to be trusted. Warning: likely a slip, still counted. Note: worth knowing."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


# Stands for the value of a cell that is blank where it should not be, so that such a problem can be answered too.
BLANK = "blank"


@dataclass(frozen=True)
class Found:
    """What a rule found: the cell, a sentence, the value as written, other cells concerned, and the row's own name."""

    place: CellRef
    text: str
    value: str = ""
    also: tuple[CellRef, ...] = ()
    row_name: str = ""
    fix: str = ""


Check = Callable[[Season], Iterable[Found]]


@dataclass(frozen=True)
class Limit:
    """A number a rule compares with that is no setting: what it is, its unit, why it is so and where it comes from."""

    title: str
    value: float
    unit: str
    why: str
    source: str


@dataclass(frozen=True)
class Rule:
    """A rule: what is wrong, why it matters, where it comes from, what to do, and the limits it compares with."""

    id: str
    slug: str
    title: str
    severity: Severity
    why: str
    source: str
    fix: str
    uses: tuple[str, ...] = ()
    check: Check | None = None
    limits: tuple[Setting | Limit, ...] = ()

    def problem(self, found: Found) -> "Problem":
        """The problem that stands for something found."""
        return Problem(self, found)


@dataclass(frozen=True)
class Problem:
    """A rule that fired at a cell. Sorts by sheet and row through `place`."""

    rule: Rule
    found: Found

    @property
    def place(self) -> CellRef:
        return self.found.place

    @property
    def fix(self) -> str:
        return self.found.fix or self.rule.fix

    def __str__(self) -> str:
        rule = self.rule
        return f"{self.place.file}:{self.place}: {rule.severity.value} {rule.id} {self.found.text} [{rule.slug}]"


@dataclass(frozen=True)
class Skipped:
    """A rule that could not run because columns it looks at are not in the file."""

    rule: Rule
    missing: tuple[str, ...]


REGISTRY: dict[str, Rule] = {}

FAMILIES = {"R": "Reading", "C": "Checks", "B": "Balance", "S": "Scores", "A": "Advice"}


def register(rule: Rule) -> Rule:
    """Add a rule; ids and slugs are unique."""
    if rule.id in REGISTRY or any(rule.slug == other.slug for other in REGISTRY.values()):
        raise ValueError(f"rule {rule.id} [{rule.slug}] is declared twice")
    REGISTRY[rule.id] = rule
    return rule


def declare(
    id: str, slug: str, *, title: str, severity: Severity, why: str, source: str, fix: str, uses: tuple[str, ...] = (),
    limits: tuple[Setting | Limit, ...] = (),
) -> Callable[[Check], Check]:
    """Declare a rule on the function that finds it: a Season in, a list or stream of Found out."""

    def decorate(check: Check) -> Check:
        register(Rule(id, slug, title, severity, why, source, fix, uses, check, limits))
        return check

    return decorate


CRASH = register(Rule(
    "C199", "check-failed", "A check could not finish", Severity.ERROR,
    why="Something in the records was not foreseen; what this check looks for has not been looked for.",
    source="house rule", fix="Send the file to the maintainers with this line.",
))


def run(season: Season, rules: Iterable[Rule]) -> tuple[list[Problem], list[Skipped]]:
    """Run every rule that has a check. Rules whose columns are absent are skipped; a crash is a problem of its own."""
    problems: list[Problem] = []
    skipped: list[Skipped] = []
    for rule in rules:
        if rule.check is None:
            continue
        missing = tuple(address for address in rule.uses if address in season.missing)
        if missing:
            skipped.append(Skipped(rule, missing))
            continue
        problems.extend(_found(season, rule, rule.check))
    return problems, skipped


def _found(season: Season, rule: Rule, check: Check) -> Iterator[Problem]:
    try:
        yield from [rule.problem(found) for found in check(season)]
    except Exception as error:  # noqa: BLE001 - a fault in one rule must not hide what the others found
        place = CellRef(season.file, "", 0, 0)
        yield CRASH.problem(Found(place, f"the check {rule.id} [{rule.slug}] stopped: {type(error).__name__}: {error}"))
