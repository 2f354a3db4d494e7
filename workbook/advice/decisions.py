"""Keep, watch, draft or cull: the selection rules of Policy over each ewe's evidence."""

from dataclasses import dataclass

from template_builder.choices import Action, Verdict
from workbook.cells import CellRef


@dataclass(frozen=True)
class Reason:
    """A selection rule that applies to her, the evidence it saw, and the cells that hold it."""

    rule: str
    title: str
    action: Action
    value: float
    text: str
    cells: tuple[CellRef, ...]


@dataclass(frozen=True)
class Decision:
    """The verdict on one ewe. `evidence` by id, None where nothing was recorded; `words` says it in one line."""

    ewe: str
    name: str
    verdict: Verdict
    reasons: tuple[Reason, ...]
    evidence: dict[str, float | None]
    checked: tuple[str, ...]
    not_checked: tuple[str, ...]
    provisional: bool
    words: str
