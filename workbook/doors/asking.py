"""The three questions that lead to the right command: which file, what is wanted of it, where the result goes."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from workbook.many.line import Kind
from workbook.many.looking import Job, look_at


class Wanted(NamedTuple):
    """Something that can be done with a file: in words, the command, and the end of the name of what is written."""

    words: str
    command: tuple[str, ...]
    ending: str = ""


FOLDER, MARKED = "folder", "--marked"
_OF_A_SEASON = (
    Wanted("see what is wrong in it", ("check",)),
    Wanted("a copy with what is wrong marked", ("check", MARKED), "marked"),
    Wanted("the summary for the meeting", ("analyse",), "summary"),
    Wanted("the sheets to print now", ("paper",), "paper"),
    Wanted("next year's workbook from it", ("build", "--previous")),
)
CAN_BE_DONE: Mapping[str, Sequence[Wanted]] = {
    Kind.SCAN_LIST.value: (
        Wanted("build a season workbook from it", ("build",), "season"),
        Wanted("see first what would be built", ("build", "--preview")),
    ),
    Kind.SEASON.value: _OF_A_SEASON,
    Kind.MARKED.value: _OF_A_SEASON,
    FOLDER: (
        Wanted("an index of all workbooks in it", ("check",)),
        Wanted("an index, and a summary beside each season", ("analyse",)),
    ),
}
WHICH = "Which file or folder? Type its name, or drag it here (Enter alone writes a demo to look at)"
WHAT, WHERE = "What would you like? Type a number", "Where should it go? Enter for"
DEMO = ("demo", "demo")


class Asked(Exception):
    """What was named cannot be worked with, in a sentence for a person."""


def arguments(ask: Callable[[str, str], str], say: Callable[[str], None]) -> list[str]:
    """The command line that the answers amount to. `ask` takes a question and what an empty answer stands for."""
    named = ask(WHICH, "").strip().strip("'\"")
    if not named:
        return list(DEMO)
    path = Path(named).expanduser()
    wanted = _what(kind_of(path), ask, say)
    line = [*wanted.command, str(path)]
    if not wanted.ending:
        return line
    default = path.with_name(f"{path.stem}-{wanted.ending}.xlsx")
    target = ask(WHERE, str(default)).strip()
    if wanted.command[-1] == MARKED:
        return [wanted.command[0], str(path), MARKED, target]
    return [*line, "-o", target]


def kind_of(path: Path) -> str:
    """What a person named, as far as something can be done with it. Raises Asked where nothing can."""
    if path.is_dir():
        return FOLDER
    if not path.exists():
        raise Asked(f"There is no {path}. Look up the name, or drag the file here.")
    line = look_at(Job(path))
    if line.kind.value not in CAN_BE_DONE:
        raise Asked(f"{path.name} is: {line.kind.value}{f': {line.words}' if line.words else ''}. Name a scan list, a season "
                    "workbook or a folder of them.")
    return line.kind.value


def _what(kind: str, ask: Callable[[str, str], str], say: Callable[[str], None]) -> Wanted:
    choices = CAN_BE_DONE[kind]
    say(f"That is a {kind}.")
    for number, wanted in enumerate(choices, start=1):
        say(f"  {number}  {wanted.words}")
    answer = ask(WHAT, "1").strip()
    if not answer.isdecimal() or not 1 <= int(answer) <= len(choices):
        raise Asked(f"{answer!r} is none of the numbers 1 to {len(choices)}. Start again.")
    return choices[int(answer) - 1]
