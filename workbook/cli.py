"""The commands. Each is a thin face over a library call; heavy imports stand inside the command that needs them."""

import shlex
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import NoReturn

import click

from template_builder.files.names import beside, paper_of
from template_builder.scan.columns import SCAN_COLUMNS, TALLY_LABELS

FINE, NEEDS_A_PERSON, COULD_NOT_RUN = 0, 1, 2

JSON = "json"  # what explain prints the schema for
_NAMES, _TALLY_NAMES = (", ".join(columns) for columns in ([column.name for column in SCAN_COLUMNS], TALLY_LABELS))
_FILE = click.Path(path_type=Path, dir_okay=False)
_FILE_OR_FOLDER = click.Path(path_type=Path)
_STANDARD_OUTPUT = Path("-")
KEPT_IF_ASKED = (
    "ewe-numbers", "group-names", "ram-names", "breeds", "people", "tags", "flock-name", "products", "notes",
)
_WIDTH = 78  # signs of a line, so that it fits a small terminal
_MOMENT = click.DateTime(["%Y-%m-%d", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M"])
_DAY = click.DateTime(["%Y-%m-%d"])

as_of_option = click.option("--as-of", type=_MOMENT, metavar="DATE", help="The moment the figures are for, such as 2026-04-12.")
force_option = click.option("--force", is_flag=True, help="Replace a file that is already there; a workbook is kept beside it.")


class CannotRun(click.ClickException):
    """A sentence for a person, and exit code 2."""

    exit_code = COULD_NOT_RUN


@contextmanager
def _in_words() -> Iterator[None]:
    """Turn what can go wrong with files into one sentence."""
    from template_builder.files.told import Told

    try:
        yield
    except Told as error:
        raise CannotRun(str(error)) from error
    finally:
        _say("")


def _say(words: str) -> None:
    """Tell a person at a terminal what is being done and how far it is, always in the same line; "" wipes it out."""
    if sys.stderr.isatty():
        click.echo(f"\r{words[:_WIDTH]:<{_WIDTH}}\r", nl=False, err=True)


def _test_targets(books: Sequence[Path], inputs: Sequence[Path], force: bool, json_path: Path | None = None) -> None:
    """Refuse every output that may not be written, at once and before any work is done."""
    if not books:
        return
    from template_builder.files.targets import check_targets
    from workbook.reading.filled import held

    texts = [json_path] if json_path else []
    check_targets([*books, *texts], inputs, force=force, texts=texts, held=held)


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


@main.command(short_help="Season workbook from a scan list, from the season before, or both.")
@click.argument("scan_list", type=_FILE, required=False)
@click.option("--previous", type=_FILE, metavar="SEASON",
              help="The season workbook of the year before: ewes, tags, groups, settings, rules and histories come from it.")
@click.option("--decisions", type=_FILE, metavar="SUMMARY",
              help="The summary of that season as the meeting filled it in: who stays, who goes, the rules as set there.")
@click.option("-o", "--output", type=_FILE,
              help="Where to write; default NAME-season.xlsx beside the list, else beside the season before.")
@click.option("--year", type=click.IntRange(2000, 2100), metavar="YEAR", help="Lambing year; default from the dates in the list.")
@click.option("--ram-in", type=_DAY, metavar="DATE", help="First day the rams were with the ewes.")
@click.option("--ram-out", type=_DAY, metavar="DATE", help="Last day the rams were with the ewes.")
@click.option("--columns", default="", metavar='"THEIRS=OURS,..."', 
              help='Headings not recognised: "Their heading=ewe,...". Ours are '
                   f"{_NAMES}, or a history column of Ewes such as past_born; "
                   f"of a tally {_TALLY_NAMES}. A list without headings has columns A, B, C.")
@click.option("--dates", type=click.Choice(["dmy", "mdy", "ymd"]), help="How dates run; default as each column of dates shows.")
@click.option("--order", type=click.Choice(["due", "ewe", "daybook"]), default="due", show_default=True,
              help="Order of the rows; daybook gives numbered lines in order of lambing.")
@click.option("--start", type=click.Choice(["indoors", "outdoors", "simple"]),
              help="Indoors, each lamb; outdoors, by count; or simple, one row and one word for each ewe. Decides which columns "
                   "are shown at first. Default: indoors, or outdoors for a tally.")
@click.option("--weights", type=click.Choice(["kg", "lb"]),
              help="What the farm weighs in; headings say so, and Season keeps it. Default: kg, or as in the season before.")
@click.option("--preview", is_flag=True, help="Say what would be built, and ask whether it is right; write nothing.")
@as_of_option
@force_option
def build(
    scan_list: Path | None, previous: Path | None, decisions: Path | None, output: Path | None, year: int | None,
    ram_in: datetime | None, ram_out: datetime | None, columns: str,
    dates: str | None, order: str, start: str | None, weights: str | None, preview: bool, as_of: datetime | None, force: bool,
) -> None:
    """Build a season workbook from a scanning list (CSV or .xlsx): a line for each ewe, or a tally by group.

    What is printed to be written on is written beside it, as NAME-paper.xlsx.

    With --previous the ewes of the season before come with their ages, tags and histories, and those that went stand on the
    tab Left; without a list it is the workbook from mating on. Built again with the scan list and that workbook as --previous,
    the scan is filled in and all that was typed stands.

    \b
    Example:  lambing-workbook build scan-list.csv --ram-in 2025-10-20 --ram-out 2025-11-28
              lambing-workbook build --previous flock-2026.xlsx --decisions flock-2026-summary.xlsx
              lambing-workbook build scan-2027.csv --previous flock-2027.xlsx
    """
    from template_builder.layout.choices import WeightUnit
    from template_builder.layout.columns import Start
    from template_builder.layout.laying import Order
    from template_builder.scan.reading import parse_columns, read_list
    from template_builder.scan.season_rows import Mating
    from template_builder.scan.tally import TallyList
    from workbook.output.told_list import NOT_WRITTEN, asked, told
    from workbook.starting import start_season

    if scan_list is None and previous is None:
        raise click.UsageError("Give a scan list, or the season before with --previous, or both.")
    if decisions and previous is None:
        raise click.UsageError("--decisions is what was decided about the ewes of a season: give that too, with --previous.")
    try:
        mating = Mating(_date(ram_in), _date(ram_out), year)
        given = parse_columns(columns) if columns else {}
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    unit, starts = WeightUnit[weights.upper()] if weights else None, Start(start) if start else None
    inputs, scan, begun = [path for path in (scan_list, previous, decisions) if path], None, None
    written: list[Path] = []
    target = output or (beside(scan_list, "season") if scan_list else None)
    with _in_words():
        if target and not preview:
            _test_targets([target, paper_of(target)], inputs, force)
        if scan_list:
            _say(f"Reading {scan_list.name} ...")
            scan = read_list(scan_list, columns=given, dates=dates, year=year)
        if start == Start.SIMPLE.value and isinstance(scan, TallyList):
            raise click.UsageError("--start simple gives each ewe a row, and a tally lists no ewes: leave --start out.")
        if previous:
            from workbook.carrying.building import follow_season
            from workbook.carrying.files import Asked, begin

            _say(f"Reading {previous.name} ...")
            begun = begin(previous, decisions, scan, Asked(mating, Order(order), starts, unit), _say)
        if previous and begun and not target:
            target = _the_year_after(previous, begun.year)
            if not preview:
                _test_targets([target, paper_of(target)], inputs, force)
        assert target is not None
        if previous and begun and not preview:
            written = follow_season(begun, previous, scan, target, _date(as_of), paper=paper_of(target), force=force, tell=_say)
        elif scan and not preview:
            written = start_season(scan, target, mating, Order(order), starts, _date(as_of), paper=paper_of(target),
                                   weights_in=unit or WeightUnit.KG, force=force, tell=_say)
    if scan:
        click.echo(told(scan, mating, alone=previous is None))
    if begun:
        from workbook.carrying.said import text as said_text

        click.echo(f"{previous}: season {begun.year}\n{said_text(begun.said)}")
    click.echo(f"Written: {' and '.join(map(str, written))}" if not preview else asked(scan) if scan else NOT_WRITTEN)
    look = begun is not None and any(one.asks for one in begun.said)
    sys.exit(NEEDS_A_PERSON if look or (scan and scan.unplaced) else FINE)


def _the_year_after(previous: Path, year: int) -> Path:
    """Where a season workbook goes by default that follows another without a scan list: beside it, its year in the name."""
    before = str(year - 1)
    name = previous.stem.replace(before, str(year)) if before in previous.stem else f"{previous.stem}-{year}"
    return previous.with_name(f"{name}.xlsx")


def _date(moment: datetime | None) -> date | None:
    return moment.date() if moment else None


@main.command(short_help="What to print now, for what is still to come.")
@click.argument("season", type=_FILE)
@click.option("-o", "--output", type=_FILE, help="Where to write; default NAME-paper.xlsx beside NAME-season.xlsx.")
@as_of_option
@force_option
def paper(season: Path, output: Path | None, as_of: datetime | None, force: bool) -> None:
    """Write the sheets to print and write on, for what is still to come.

    Shed sheets and pen cards for ewes still to lamb, handling and weighing sheets for animals that are here, counts not made
    yet, and whom to look at tonight. build writes the same for a season that begins.

    \b
    Example:  lambing-workbook paper flock-season.xlsx
    """
    from template_builder.paper import write_paper
    from workbook.output.still_to_come import in_words, paper_flock
    from workbook.reading.season_file import read
    from workbook.results.pipeline import check as check_season
    from workbook.rules.rule import Severity

    target = output or paper_of(season)
    with _in_words():
        _test_targets([target], [season], force)
        _say(f"Reading {season.name} ...")
        checked = check_season(read(season, as_of, _say), _say)
        found = checked.season
        flock = paper_flock(found)
        write_paper(target, flock, found.called, found.start, found.as_of, force=force, tell=_say)
    click.echo(in_words(found, flock))
    errors = sum(problem.rule.severity is Severity.ERROR for problem in checked.problems)
    if errors:
        click.echo(f"{'1 error' if errors == 1 else f'{errors} errors'} in the records may keep animals on paper or off it: "
                   f"lambing-workbook check {season} says where.")
    click.echo(f"Written: {target}")
    sys.exit(NEEDS_A_PERSON if errors else FINE)


@main.command(short_help="Every problem in a season workbook, with its cell.")
@click.argument("season", metavar="SEASON|FOLDER", type=_FILE_OR_FOLDER)
@click.option("--format", "form", type=click.Choice(["text", "csv", "json"]), default="text", show_default=True,
              help="How to print the problems.")
@click.option("--only", type=click.Choice(["errors", "warnings"]), help="Show only these; the exit code still counts all.")
@click.option("--rule", "named", multiple=True, metavar="ID", help="Show only this rule, every time it fired; may be repeated.")
@click.option("--strict", is_flag=True, help="Warnings too give exit code 1.")
@click.option("--marked", "marked_path", type=_FILE_OR_FOLDER,
              help="Also write a copy of the workbook with the problem cells marked; of a folder, the folder for such copies.")
@click.option("-o", "--output", type=_FILE, help="Of a folder: where to write its index; default NAME-index.xlsx in it.")
@as_of_option
@force_option
def check(
    season: Path, form: str, only: str | None, named: tuple[str, ...], strict: bool, marked_path: Path | None,
    output: Path | None, as_of: datetime | None, force: bool,
) -> None:
    """Print every problem in a season workbook, each with its sheet, its cell and what to do.

    Errors come first. What a rule finds more than five times is one line for each column and kind of slip, with how often and
    where; --rule shows each.

    Of a folder, every spreadsheet in it is read and an index written: a line for each farm, its figures and its problems by
    kind. With --force the index is written anew, and only files that have changed are read again.

    \b
    Example:  lambing-workbook check flock-season.xlsx --marked flock-marked.xlsx
              lambing-workbook check farms --marked farms-marked
    """
    if season.is_dir():
        if form != "text" or only or named:
            raise click.UsageError("--format, --only and --rule are for one season workbook: a folder gives an index.")
        _index(season, output, marked_path, summaries=False, strict=strict, as_of=as_of, force=force)
    if output:
        raise click.UsageError("-o is for the index of a folder: the marked copy of a season goes where --marked says.")
    from workbook.output import report
    from workbook.output.problem_text import Asked, Only, text
    from workbook.reading.season_file import read
    from workbook.results.pipeline import check as check_season
    from workbook.rules.rule import Severity

    asked = Asked(Only(only) if only else None, _rules_named(named))
    with _in_words():
        _test_targets([marked_path] if marked_path else [], [season], force)
        _say(f"Reading {season.name} ...")
        checked = check_season(read(season, as_of, _say), _say)
        if marked_path:
            from workbook.output.marking.copy import write_marked

            _say(f"Writing {marked_path.name} ...")
            write_marked(checked, season, marked_path, force=force)
    words = {"text": text, "csv": report.as_csv, "json": report.as_json}[form](checked, asked)
    click.echo(words if form == "text" else words.encode("utf-8"))
    if marked_path:
        click.echo(f"Marked copy: {marked_path}", err=form != "text")
    bad = {Severity.ERROR, Severity.WARNING} if strict else {Severity.ERROR}
    sys.exit(NEEDS_A_PERSON if any(problem.rule.severity in bad for problem in checked.problems) else FINE)


def _index(
    folder: Path, output: Path | None, marked: Path | None, *, summaries: bool, strict: bool, as_of: datetime | None, force: bool,
) -> NoReturn:
    """Write the index of a folder, say what needs a person, and end."""
    from workbook.many.folder import Asked, default_index, index_folder, words

    with _in_words():
        done = index_folder(folder, output or default_index(folder), Asked(as_of, marked, summaries, force), _say)
    click.echo("\n".join(words(done, strict=strict)))
    click.echo(f"Written: {done.index}")
    sys.exit(NEEDS_A_PERSON if any(entry.line.needs_a_person(strict=strict) for entry in done.entries) else FINE)


def _rules_named(named: Sequence[str]) -> frozenset[str]:
    """The ids of rules called by id or name, or several with commas; a usage error with similar names for one there is not."""
    from workbook.output.explaining import near, rule_called

    found = set()
    for word in filter(None, (word.strip() for words in named for word in words.split(","))):
        rule = rule_called(word)
        if rule is None:
            raise click.UsageError(f"There is no rule {word!r}.{_perhaps(near(word))}")
        found.add(rule)
    return frozenset(found)


def _perhaps(names: Sequence[str]) -> str:
    return f" Did you mean {' or '.join(names)}?" if names else ""


@main.command(short_help="Summary workbook for the selection meeting.")
@click.argument("season", metavar="SEASON|FOLDER", type=_FILE_OR_FOLDER)
@click.option("-o", "--output", type=_FILE,
              help="Where to write; default NAME-summary.xlsx beside the season, or NAME-index.xlsx in the folder.")
@click.option("--json", "json_path", type=_FILE, help="Also write all figures as JSON; - writes them to standard output.")
@as_of_option
@force_option
def analyse(season: Path, output: Path | None, json_path: Path | None, as_of: datetime | None, force: bool) -> None:
    """Write the summary workbook: litter account, losses, problem ewes, mothering, a recommendation for every ewe.

    Of a folder, each season workbook in it gets its summary beside it, and all together an index, as check writes it.

    \b
    Example:  lambing-workbook analyse flock-season.xlsx
              lambing-workbook analyse farms
    """
    if season.is_dir():
        if json_path:
            raise click.UsageError("--json is for one season workbook: a folder gives an index.")
        _index(season, output, None, summaries=True, strict=False, as_of=as_of, force=force)
    from template_builder.files.writing import writing
    from workbook.output import report
    from workbook.output.summary.book import write_summary
    from workbook.reading.season_file import read
    from workbook.results.pipeline import analyse as analyse_season
    from workbook.rules.rule import Severity

    target, to_output = output or beside(season, "summary"), json_path == _STANDARD_OUTPUT
    with _in_words():
        _test_targets([target], [season], force, None if to_output else json_path)
        _say(f"Reading {season.name} ...")
        result = analyse_season(read(season, as_of, _say), _say)
        _say(f"Writing {target.name} ...")
        write_summary(result, target, force=force, tell=_say)
        if json_path and not to_output:
            with writing(json_path, force=force) as temporary:
                temporary.write_text(report.result_json(result), encoding="utf-8")
    if to_output:
        click.echo(report.result_json(result).encode("utf-8"))
    click.echo(report.headline(result), err=to_output)
    click.echo(f"Written: {target}" + (f" and {json_path}" if json_path and not to_output else ""), err=to_output)
    errors = any(problem.rule.severity is Severity.ERROR for problem in result.problems)
    sys.exit(NEEDS_A_PERSON if errors else FINE)


@main.command(short_help="One season workbook from several people's copies.")
@click.argument("copies", type=_FILE, nargs=-1, required=True)
@click.option("-o", "--output", type=_FILE, help="Where to write; default NAME-merged.xlsx beside the first copy.")
@click.option("--base", type=_FILE, metavar="FILE",
              help="The workbook as it was when the copies were made: a cell that one copy has changed since is not a conflict.")
@force_option
def merge(copies: tuple[Path, ...], output: Path | None, base: Path | None, force: bool) -> None:
    """Put copies that several people filled in together into one season workbook; lists the cells where they differ.

    What a copy has added or changed is in the merged workbook, on its sheet Conflicts, or named as left out. Your own columns
    and sheets are kept as values, colours and cell notes on their cells; charts and formulas of your own are not. The copies
    stay as they are. check reports an open conflict as an error until it is settled.

    \b
    Example:  lambing-workbook merge day.xlsx night.xlsx -o flock-season.xlsx --base flock-as-sent.xlsx
    """
    from workbook.merging.files import merge_files
    from workbook.merging.report import text

    if len(copies) < 2:
        raise click.UsageError("Give two copies or more.")
    target = output or beside(copies[0], "merged")
    with _in_words():
        _test_targets([target], [*copies, base] if base else copies, force)
        _say(f"Reading {len(copies)} copies ...")
        done = merge_files(copies, target, base, force=force, tell=_say)
    click.echo(text(done))
    click.echo(f"Written: {target}")
    sys.exit(NEEDS_A_PERSON if done.conflicts else FINE)


@main.command(short_help="Many farms side by side, by letter.")
@click.argument("seasons", metavar="SEASON|FOLDER...", type=_FILE_OR_FOLDER, nargs=-1, required=True)
@click.option("-o", "--output", type=_FILE,
              help="Where to write; default NAME-group.xlsx in the folder, group.xlsx beside a file.")
@click.option("--key", type=_FILE,
              help="Which farm is which letter; default NAME-key.xlsx beside the group workbook. One that is there keeps its "
                   "letters.")
@click.option("--names", is_flag=True, help="Put the key into the group workbook as well: then it is not for sending on.")
@click.option("--farm-pages", "pages", metavar="FOLDER", type=click.Path(path_type=Path),
              help="Also write a workbook for each farm into this folder: its own numbers and the middle of the group.")
@click.option("--indoors-with-outdoors", "together", is_flag=True,
              help="Put farms that lamb indoors and outdoors side by side; else they are kept apart.")
@as_of_option
@force_option
def compare(
    seasons: tuple[Path, ...], output: Path | None, key: Path | None, names: bool, pages: Path | None, together: bool,
    as_of: datetime | None, force: bool,
) -> None:
    """Write a group workbook of many farms' seasons: figures by letter, quartiles, a funnel plot for each loss.

    Farms stand side by side only where their figures are known in the same way: by lamb, by ewe or by count, indoors or
    outdoors. Which farm is which letter stands in the key, a file of its own: the group workbook names no farm and can be sent
    on. From five farms alike on there are quartiles and limits.

    \b
    Example:  lambing-workbook compare farms --farm-pages pages
              lambing-workbook compare brow.xlsx mead.xlsx -o group.xlsx
    """
    from workbook.comparing.files import Asked, compare_files, default_group, key_beside, said

    group = output or default_group(seasons)
    asked = Asked(key or key_beside(group), names, pages, as_of, together, force)
    with _in_words():
        done = compare_files(seasons, group, asked, _say)
    click.echo("\n".join(said(done.compared)))
    written = [path for path in done.written if pages is None or path.parent != pages or path in (group, asked.key)]
    more = len(done.written) - len(written)
    click.echo(f"Written: {' and '.join(map(str, written))}" + (f", and {more} pages of farms in {pages}" if more else ""))
    click.echo(f"The key says which farm is which letter: keep it to yourself ({asked.key}).")
    sys.exit(NEEDS_A_PERSON if any(left.asks for left in done.compared.left) else FINE)


@main.command(short_help="A copy without names and numbers, for an adviser.")
@click.argument("season", type=_FILE)
@click.option("-o", "--output", type=_FILE, help="Where to write; default shared-season.xlsx beside the season.")
@click.option("--key", type=_FILE, help="Which name is which; default NAME-key.csv beside the season. It stays on the farm.")
@click.option("--email", type=_FILE, help="Also write a message draft (.eml) with the copy attached and its figures as text.")
@click.option("--keep", multiple=True, metavar="WHAT", type=click.Choice(KEPT_IF_ASKED),
              help=f"Leave as written: {', '.join(KEPT_IF_ASKED)}. May be repeated.")
@force_option
def share(season: Path, output: Path | None, key: Path | None, email: Path | None, keep: tuple[str, ...], force: bool) -> None:
    """Write a copy of a season without identities: ewes, groups, rams, people and tags get other names, notes are emptied.

    The copy is built anew: comments, colours, your own columns and sheets are not in it. Dates and figures stay as they are.
    The key says which name is which: do not send it.

    \b
    Example:  lambing-workbook share flock-season.xlsx --email to-adviser.eml
    """
    from workbook.sharing.files import share_file
    from workbook.sharing.identities import Keep
    from workbook.sharing.said import said

    target, names = output or season.with_name("shared-season.xlsx"), key or season.with_name(f"{season.stem}-key.csv")
    with _in_words():
        shared = share_file(season, target, names, [Keep(what) for what in keep], email=email, force=force, tell=_say)
    click.echo(said(shared))
    click.echo(f"Written: {target}" + (f" and {email}" if email else "") + f". The key stays on the farm: {names}")


@main.command(short_help="What a rule, figure, setting or alert means.")
@click.argument("name", required=False)
def explain(name: str | None) -> None:
    """Explain anything that an output names by its id: what it means, why, where it comes from, its limits, an example.

    Rules of check, selection rules, figures, settings, alerts, lines of the litter account, parts of the mothering score.
    Without a name it lists them all; json prints the schema of what check and analyse write as JSON.

    \b
    Example:  lambing-workbook explain C101
              lambing-workbook explain reared_pct
    """
    from workbook.output.explaining import find, listing, near

    if name == JSON:
        from workbook.output.data.whole import schema_json

        click.echo(schema_json().encode("utf-8"))
        return
    if name is None:
        click.echo(listing())
        return
    found = find(name)
    if not found:
        raise CannotRun(f"There is nothing called {name!r}.{_perhaps(near(name))} `lambing-workbook explain` lists them all.")
    click.echo("\n\n".join(entry.text.strip() for entry in found))


@main.command(short_help="An invented season to look at.")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@force_option
def demo(folder: Path, force: bool) -> None:
    """Write an invented flock's season into a folder: scan list, empty, clean and messy workbook, summary.

    \b
    Example:  lambing-workbook demo my-demo
    """
    from workbook.demo import copy_demo

    with _in_words():
        _say(f"Writing the demo into {folder} ...")
        written = copy_demo(folder, force=force)
    for path, words in written:
        click.echo(f"{path}: {words}")
    click.echo(f"Open {written[-1][0]} first: it is what the selection meeting reads.")
