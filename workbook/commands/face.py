"""What all commands share: how they end, how they tell of files that cannot be worked with, and their common options."""

import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import click

FINE, NEEDS_A_PERSON, COULD_NOT_RUN = 0, 1, 2

FILE = click.Path(path_type=Path, dir_okay=False)
FILE_OR_FOLDER = click.Path(path_type=Path)
STANDARD_OUTPUT = Path("-")
_WIDTH = 78  # signs of a line, so that it fits a small terminal
_MOMENT = click.DateTime(["%Y-%m-%d", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"])

as_of_option = click.option("--as-of", type=_MOMENT, metavar="DATE", help="The moment the figures are for, such as 2026-04-12.")
force_option = click.option(
    "--force", is_flag=True,
    help="Replace a file that is already there. The old workbook is kept beside it; one that somebody has saved since is not "
         "replaced.")


class CannotRun(click.ClickException):
    """A sentence for a person, and exit code 2."""

    exit_code = COULD_NOT_RUN


@contextmanager
def inside(what: str) -> Iterator[None]:
    """Say so where a package is not there: the program as one file has not all of them."""
    try:
        yield
    except ModuleNotFoundError as error:
        raise CannotRun(f"{what} needs what this file does not hold ({error.name}): install the program, as its README says, and "
                        "run the command there.") from error


@contextmanager
def in_words() -> Iterator[None]:
    """Turn what can go wrong with files into one sentence."""
    from template_builder.files.told import Told

    try:
        yield
    except Told as error:
        raise CannotRun(str(error)) from error
    finally:
        say("")


def say(words: str) -> None:
    """Tell a person at a terminal what is being done and how far it is, always in the same line; "" wipes it out."""
    if sys.stderr.isatty():
        click.echo(f"\r{words[:_WIDTH]:<{_WIDTH}}\r", nl=False, err=True)


def try_targets(books: Sequence[Path], inputs: Sequence[Path], force: bool, json_path: Path | None = None) -> None:
    """Refuse every output that may not be written, at once and before any work is done."""
    if not books and not json_path:
        return
    from template_builder.files.targets import check_targets
    from workbook.reading.filled import held

    texts = {json_path: ".json"} if json_path else {}
    check_targets([*books, *texts], inputs, force=force, texts=texts, held=held)


def write_words(path: Path, pieces: Iterable[str], force: bool) -> None:
    """Put a text in place whole or not at all."""
    from template_builder.files.writing import writing

    with writing(path, force=force) as temporary, temporary.open("w", encoding="utf-8") as file:
        file.writelines(pieces)


def perhaps(names: Sequence[str]) -> str:
    """The question whether one of these names was meant; "" for none."""
    return f" Did you mean {' or '.join(names)}?" if names else ""
