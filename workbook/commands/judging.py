"""check and analyse: what a season workbook, or a folder of them, says."""

import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, NamedTuple, NoReturn

import click

from template_builder.files.names import beside
from workbook.commands.face import (
    FILE,
    FILE_OR_FOLDER,
    FINE,
    NEEDS_A_PERSON,
    STANDARD_OUTPUT,
    as_of_option,
    force_option,
    in_words,
    perhaps,
    say,
    try_targets,
    write_words,
)

if TYPE_CHECKING:
    from workbook.output.problem_text import Asked as ProblemsAsked


@click.command(short_help="Every problem in a season workbook, with its cell.")
@click.argument("season", metavar="SEASON|FOLDER", type=FILE_OR_FOLDER)
@click.option("--format", "form", type=click.Choice(["text", "csv", "json"]), default="text", show_default=True,
              help="How to print the problems.")
@click.option("--json", "json_path", type=FILE, help="Also write the problems as JSON; - writes them to standard output instead.")
@click.option("--only", type=click.Choice(["errors", "warnings"]), help="Show only these; the exit code still counts all.")
@click.option("--rule", "named", multiple=True, metavar="ID",
              help="Show only this rule, each time it found something; may be repeated.")
@click.option("--strict", is_flag=True, help="Warnings too give exit code 1.")
@click.option("--marked", "marked_path", type=FILE_OR_FOLDER,
              help="Also write a copy of the workbook with the problem cells marked; given a folder, a folder for the copies.")
@click.option("-o", "--output", type=FILE, help="Given a folder: where to write its index; default NAME-index.xlsx in it.")
@as_of_option
@force_option
def check(
    season: Path, form: str, json_path: Path | None, only: str | None, named: tuple[str, ...], strict: bool,
    marked_path: Path | None, output: Path | None, as_of: datetime | None, force: bool,
) -> None:
    """Print every problem in a season workbook, each with its sheet, its cell and what to do.

    Errors come first. What a rule finds more than five times is one line for each column and kind of slip, with how often and
    where; --rule shows each.

    Given a folder, it reads every spreadsheet in it and writes an index: a line for each farm, its figures and its problems by
    kind. The next time the index is brought up to date, and only files that have changed are read again.

    \b
    Example:  lambing-workbook check flock-season.xlsx --marked flock-marked.xlsx
              lambing-workbook check farms --marked farms-marked
    """
    from workbook.output.problem_text import Asked, Only, text

    if json_path and form != "text":
        raise click.UsageError("Give --format or --json, not both.")
    form = "json" if json_path == STANDARD_OUTPUT else form
    to_file = json_path if json_path != STANDARD_OUTPUT else None
    asked = Asked(Only(only) if only else None, _rules_named(named))
    if season.is_dir():
        if (only or named) and form == "text" and not to_file:
            raise click.UsageError("--only and --rule choose what --json or --format of a folder write: its index counts all.")
        written = {"text": "check" if to_file else "", "json": "check", "csv": "csv"}[form]
        _index(season, output, _Folder(marked_path, False, strict, as_of, force, written, asked, to_file))
    if output:
        raise click.UsageError("-o is for the index of a folder: the marked copy of a season goes where --marked says.")
    from workbook.output import report
    from workbook.reading.season_file import read
    from workbook.results.pipeline import check as check_season
    from workbook.rules.rule import Severity

    with in_words():
        try_targets([marked_path] if marked_path else [], [season], force, to_file)
        say(f"Reading {season.name} ...")
        checked = check_season(read(season, as_of, say), say)
        if marked_path:
            from workbook.output.marking.copy import write_marked

            say(f"Writing {marked_path.name} ...")
            write_marked(checked, season, marked_path, force=force)
        if to_file:
            write_words(to_file, [report.as_json(checked, asked)], force)
    words = {"text": text, "csv": report.as_csv, "json": report.as_json}[form](checked, asked)
    click.echo(words if form == "text" else words.encode("utf-8"))
    if marked_path:
        click.echo(f"Marked copy: {marked_path}", err=form != "text")
    bad = {Severity.ERROR, Severity.WARNING} if strict else {Severity.ERROR}
    sys.exit(NEEDS_A_PERSON if any(problem.rule.severity in bad for problem in checked.problems) else FINE)


class _Folder(NamedTuple):
    """What is asked of a folder: copies, what counts, and what is written of each season as text, to a file or to the output."""

    marked: Path | None
    summaries: bool
    strict: bool
    as_of: datetime | None
    force: bool
    written: str
    problems: "ProblemsAsked | None"
    to_file: Path | None


def _index(folder: Path, output: Path | None, of: _Folder) -> NoReturn:
    """Write the index of a folder, say what needs a person, and end."""
    from workbook.many.folder import Asked, default_index, index_folder, words
    from workbook.many.written import Form, Wanted, joined
    from workbook.output.problem_text import EVERYTHING

    with in_words(), TemporaryDirectory() as waiting:
        if of.to_file:
            try_targets([], [], of.force, of.to_file)
        wanted = Wanted(Form(of.written), Path(waiting), of.problems or EVERYTHING) if of.written else None
        asked = Asked(of.as_of, of.marked, of.summaries, of.force, wanted)
        done = index_folder(folder, output or default_index(folder), asked, say)
        if wanted and of.to_file:
            write_words(of.to_file, joined(folder, done.entries, wanted), of.force)
        elif wanted:
            for piece in joined(folder, done.entries, wanted):
                click.echo(piece.encode("utf-8"), nl=False)
    aside = wanted is not None and not of.to_file
    click.echo("\n".join(words(done, strict=of.strict)), err=aside)
    click.echo(f"Written: {done.index}" + (f" and {of.to_file}" if of.to_file else ""), err=aside)
    sys.exit(NEEDS_A_PERSON if any(entry.line.needs_a_person(strict=of.strict) for entry in done.entries) else FINE)


def _rules_named(named: Sequence[str]) -> frozenset[str]:
    """The ids of rules called by id or name, or several with commas; a usage error with similar names for one there is not."""
    from workbook.output.explaining import near, rule_called

    found = set()
    for word in filter(None, (word.strip() for words in named for word in words.split(","))):
        rule = rule_called(word)
        if rule is None:
            raise click.UsageError(f"There is no rule {word!r}.{perhaps(near(word))}")
        found.add(rule)
    return frozenset(found)


@click.command(short_help="Summary workbook for the selection meeting.")
@click.argument("season", metavar="SEASON|FOLDER", type=FILE_OR_FOLDER)
@click.option("-o", "--output", type=FILE,
              help="Where to write; default NAME-summary.xlsx beside the season, or NAME-index.xlsx in the folder.")
@click.option("--json", "json_path", type=FILE, help="Also write all figures as JSON; - writes them to standard output.")
@as_of_option
@force_option
def analyse(season: Path, output: Path | None, json_path: Path | None, as_of: datetime | None, force: bool) -> None:
    """Write the summary workbook: litter account, losses, problem ewes, mothering, a recommendation for every ewe.

    Given a folder, it writes the summary of each season workbook beside it, and one index of all, as check does. The next time,
    summaries of what has changed are written anew, except those somebody has typed into.

    \b
    Example:  lambing-workbook analyse flock-season.xlsx
              lambing-workbook analyse farms
    """
    if season.is_dir():
        to_file = json_path if json_path != STANDARD_OUTPUT else None
        _index(season, output, _Folder(None, True, False, as_of, force, "analyse" if json_path else "", None, to_file))
    from workbook.output import report
    from workbook.output.summary.book import write_summary
    from workbook.reading.season_file import read
    from workbook.results.pipeline import analyse as analyse_season
    from workbook.rules.rule import Severity

    target, to_output = output or beside(season, "summary"), json_path == STANDARD_OUTPUT
    with in_words():
        try_targets([target], [season], force, None if to_output else json_path)
        say(f"Reading {season.name} ...")
        result = analyse_season(read(season, as_of, say), say)
        say(f"Writing {target.name} ...")
        write_summary(result, target, force=force, tell=say)
        if json_path and not to_output:
            write_words(json_path, [report.result_json(result)], force)
    if to_output:
        click.echo(report.result_json(result).encode("utf-8"))
    click.echo(report.headline(result), err=to_output)
    click.echo(f"Written: {target}" + (f" and {json_path}" if json_path and not to_output else ""), err=to_output)
    errors = any(problem.rule.severity is Severity.ERROR for problem in result.problems)
    sys.exit(NEEDS_A_PERSON if errors else FINE)
