"""`python -m workbook` is the same as the command lambing-workbook: one command from start to end, whatever befalls it."""

import gc
import os
import shlex
import signal
import sys
import traceback
from contextlib import suppress
from types import FrameType

import click

from workbook.cli import main
from workbook.commands.face import COULD_NOT_RUN, FINE
from workbook.output.terminal import show_what_it_can

TRACEBACK = "LAMBING_WORKBOOK_TRACEBACK"  # set to anything, a fault of the program shows where it stands in the code
PRESS_ENTER = "Press Enter to close this window."
STOPPED = "Stopped before it was done: no half-written file was left."
NOT_PRINTED = "The answer could not be printed ({}). Send it somewhere else, and run the command again."
FAULT = (
    "This is a fault of the program, not of your records ({}). No half-written file was left. Set {}=1, run the command again, "
    "and send what it prints to the maintainers."
)


def run() -> None:
    """One command; it ends in an exit code and a sentence, never in a traceback nobody asked for."""
    prepare()
    sys.exit(outcome())


def run_one_file() -> None:
    """The program as one file: commands as ever; files dropped on it, or a double click, without one."""
    prepare()
    words = sys.argv[1:]
    if words and (words[0].startswith("-") or words[0] in main.commands):
        sys.exit(outcome(words))
    code = _dropped(words) if words else outcome([])
    if sys.stdin.isatty() and sys.stdout.isatty():
        with suppress(EOFError, KeyboardInterrupt):
            input(PRESS_ENTER)
    sys.exit(code)


def _dropped(words: list[str]) -> int:
    """Do what is to be done with files, one after the other; the worst code of all."""
    from workbook.doors.dropped import commands, free_name, recognised

    found, refused = recognised(words)
    for sentence in refused:
        click.echo(sentence)
    codes = [COULD_NOT_RUN] if refused else [FINE]
    for line in commands(found, free_name):
        click.echo(f"\nlambing-workbook {shlex.join(line)}")
        codes.append(outcome(line))
    return max(codes)


def prepare() -> None:
    """Make ready to run commands, and to be stopped."""
    gc.disable()  # looking for cycles takes a tenth of the time, and a season of records has next to none to find
    show_what_it_can()
    for stop in (signal.SIGINT, signal.SIGTERM):
        signal.signal(stop, _stop)


def outcome(arguments: list[str] | None = None) -> int:
    """Do one command, as given or else as on the command line; gives its exit code."""
    try:
        return int(main(arguments, standalone_mode=False) or FINE)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else FINE
    except click.ClickException as error:
        error.show()
        return error.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo(STOPPED, err=True)
    except OSError as error:
        if error.filename is not None:
            return _fault(error)
        click.echo(NOT_PRINTED.format(error.strerror or error), err=True)
        _print_no_more()
    except Exception as error:
        return _fault(error)
    return COULD_NOT_RUN


def _fault(error: Exception) -> int:
    if os.environ.get(TRACEBACK):
        traceback.print_exception(error)
    click.echo(FAULT.format(" ".join(f"{type(error).__name__}: {error}".split()), TRACEBACK), err=True)
    return COULD_NOT_RUN


def _stop(_number: int, _frame: FrameType | None) -> None:
    """Stop as for Ctrl-C, so that everything begun is cleared away; asking twice does not disturb that."""
    for stop in (signal.SIGINT, signal.SIGTERM):
        signal.signal(stop, signal.SIG_IGN)
    raise KeyboardInterrupt


def _print_no_more() -> None:
    """What could not be printed is not tried again on the way out."""
    with open(os.devnull, "wb") as nowhere:  # noqa: PTH123 - no file of anybody's
        os.dup2(nowhere.fileno(), sys.stdout.fileno())


if __name__ == "__main__":
    run()
