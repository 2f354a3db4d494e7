"""The command line: what all commands hang on. Each is a thin face over a library call."""

import shlex
import sys

import click

from workbook.commands.building import build, paper
from workbook.commands.exchange import compare, merge, share
from workbook.commands.explaining import demo, explain
from workbook.commands.face import CannotRun
from workbook.commands.judging import analyse, check


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}, invoke_without_command=True)
@click.version_option(package_name="lambing-workbook", prog_name="lambing-workbook")
@click.pass_context
def main(context: click.Context) -> None:
    """Season workbooks for lambing: build one from the scan list, check it, and analyse it for the selection meeting.

    Without a command, at a terminal, it asks which file there is and what is wanted.

    \b
    Start with:  lambing-workbook demo my-demo
    Exit codes:  0 fine; 1 done, but something needs a person; 2 could not run.
    """
    if context.invoked_subcommand is not None:
        return
    if not sys.stdin.isatty():
        click.echo(context.get_help())
        return
    from workbook.doors.asking import Asked, arguments

    def ask(question: str, default: str) -> str:
        return str(click.prompt(question, default=default, show_default=bool(default)))

    try:
        line = arguments(ask, click.echo)
    except Asked as error:
        raise CannotRun(str(error)) from error
    click.echo(f"lambing-workbook {shlex.join(line)}")
    main.main(line, standalone_mode=False)


for command in (build, paper, check, analyse, merge, compare, share, explain, demo):
    main.add_command(command)
