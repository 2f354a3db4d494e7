"""The three questions that lead to the right command: which file, what is wanted of it, where the result goes."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

from demo_workbooks import SHIPPED
from template_builder.files.names import beside, paper_of
from template_builder.files.told import Told
from workbook.many.line import Kind, Line
from workbook.many.looking import what_it_is


class Wanted(NamedTuple):
    """Something that can be done with a file: in words, the command, and where what it writes goes by default, None where that is
    not asked; `option` is how the command is told another place."""

    words: str
    command: tuple[str, ...]
    default: Callable[[Path], Path] | None = None
    option: str = "-o"


def _named(ending: str) -> Callable[[Path], Path]:
    return partial(beside, ending=ending)


FOLDER = "folder"
_OF_A_SEASON = (
    Wanted("see what is wrong in it", ("check",)),
    Wanted("a copy with what is wrong marked", ("check",), _named("marked"), "--marked"),
    Wanted("the summary for the meeting", ("analyse",), _named("summary")),
    Wanted("the sheets to print now", ("paper",), paper_of),
    Wanted("next year's workbook from it", ("build", "--previous")),
)
CAN_BE_DONE: Mapping[str, Sequence[Wanted]] = {
    Kind.SCAN_LIST.value: (
        Wanted("build a season workbook from it", ("build",), _named("season")),
        Wanted("see first what would be built", ("build", "--preview")),
    ),
    Kind.SEASON.value: _OF_A_SEASON,
    Kind.MARKED.value: _OF_A_SEASON,
    FOLDER: (
        Wanted("an index of all workbooks in it", ("check",)),
        Wanted("an index, and a summary beside each season", ("analyse",)),
        Wanted("the farms in it side by side, by letter", ("compare",)),
    ),
}
WHICH = "Which file or folder? Type its name, or drag it here"
OR_DEMO = " (Enter alone writes a demo to look at)"
WHAT, WHERE = "What would you like? Type a number", "Where should it go? Enter for"
DEMO = ("demo", "demo")


class Asked(Exception):
    """What was named cannot be worked with, in a sentence for a person."""


def arguments(ask: Callable[[str, str], str], say: Callable[[str], None]) -> list[str]:
    """The command line that the answers amount to. `ask` takes a question and what an empty answer stands for."""
    named = ask(WHICH + OR_DEMO * SHIPPED, "").strip().strip("'\"")
    if not named and SHIPPED:
        return list(DEMO)
    if not named:
        raise Asked("No file was named. Type a name, drag a file here, or drop it on the program.")
    path = Path(named).expanduser()
    wanted = _what(kind_of(path), ask, say)
    line = [*wanted.command, str(path)]
    if wanted.default is None:
        return line
    return [*line, wanted.option, ask(WHERE, str(wanted.default(path))).strip()]


def kind_of(path: Path) -> str:
    """What a person named, as far as something can be done with it. Raises Asked where nothing can."""
    if path.is_dir():
        return FOLDER
    if not path.exists():
        raise Asked(f"There is no {path}. Look up the name, or drag the file here.")
    try:
        found = what_it_is(path)
    except Told as error:
        raise Asked(str(error)) from error
    kind = found.kind if isinstance(found, Line) else Kind.SEASON
    if kind.value not in CAN_BE_DONE:
        words = found.words if isinstance(found, Line) else ""
        raise Asked(f"{path.name} is: {kind.value}{f': {words}' if words else ''}. Name a scan list, a season workbook or a "
                    "folder of them.")
    return kind.value


def _what(kind: str, ask: Callable[[str, str], str], say: Callable[[str], None]) -> Wanted:
    choices = CAN_BE_DONE[kind]
    say(f"That is a {kind}.")
    for number, wanted in enumerate(choices, start=1):
        say(f"  {number}  {wanted.words}")
    answer = ask(WHAT, "1").strip()
    if not answer.isdecimal() or not 1 <= int(answer) <= len(choices):
        raise Asked(f"{answer!r} is none of the numbers 1 to {len(choices)}. Start again.")
    return choices[int(answer) - 1]
