"""Where results may go: tested for all outputs of a command before any work is done, so that nothing a person has is lost."""

from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from itertools import combinations
from pathlib import Path

from template_builder.files.writing import WriteError, refusal
from template_builder.files.written import WORKBOOK_ENDINGS

Held = Callable[[Path], str]


def check_targets(
    targets: Sequence[Path], inputs: Iterable[Path], *, force: bool, texts: Mapping[Path, str] | None = None,
    anew: Container[Path] = (), held: Held = lambda _: "",
) -> None:
    """Raise WriteError with a line for each output that may not be written.

    `texts` are those that are no workbooks, each with the ending its name has to have; `anew` those that the program brings up
    to date; `held` says what would go with a file somebody saved, in words.
    """
    sources, endings = tuple(inputs), texts or {}
    found = [words for target in targets
             if (words := _misnamed(target, sources, endings.get(target)) or refusal(target, force, held, anew=target in anew))]
    found += [f"{one} and {other} are the same file. Give each output its own name."
              for one, other in combinations(targets, 2) if same_file(one, other)]
    if found:
        raise WriteError("\n".join(found))


def same_file(one: Path, other: Path) -> bool:
    """Whether two names lead to one file, by links too."""
    try:
        return one.resolve() == other.resolve() or one.samefile(other)
    except (OSError, RuntimeError):  # not there yet, or a link in a circle
        return False


def _misnamed(target: Path, inputs: Sequence[Path], text: str | None) -> str | None:
    if any(same_file(target, source) for source in inputs):
        return f"{target} is a file to be read, which is never changed. Choose another name for the output."
    ending = target.suffix.casefold()
    if text and ending in WORKBOOK_ENDINGS:
        return f"{target} has the name of a workbook, but what goes there is text. Choose a name that ends in {text}."
    if not text and ending not in WORKBOOK_ENDINGS:
        return f"{target} is not a name for a workbook. Choose one that ends in .xlsx."
    return None
