"""build and paper: the workbooks people write in, and what they print."""

import sys
from datetime import date, datetime
from pathlib import Path

import click

from template_builder.files.names import beside, paper_of
from template_builder.scan.columns import SCAN_COLUMNS, TALLY_LABELS
from workbook.commands.face import FILE, FINE, NEEDS_A_PERSON, as_of_option, force_option, in_words, say, try_targets

_NAMES, _TALLY_NAMES = (", ".join(columns) for columns in ([column.name for column in SCAN_COLUMNS], TALLY_LABELS))
_DAY = click.DateTime(["%Y-%m-%d"])


@click.command(short_help="Season workbook from a scan list, from the season before, or both.")
@click.argument("scan_list", type=FILE, required=False)
@click.option("--previous", type=FILE, metavar="SEASON",
              help="The season workbook of the year before: ewes, tags, groups, settings, rules and histories come from it.")
@click.option("--decisions", type=FILE, metavar="SUMMARY",
              help="The summary of that season as the meeting filled it in: who stays, who goes, the rules as set there.")
@click.option("--key", type=FILE, metavar="KEY",
              help="The key of the shared copy that --decisions was made from; its ewes get their own numbers again.")
@click.option("-o", "--output", type=FILE,
              help="Where to write; default NAME-season.xlsx beside the list, else beside the season before.")
@click.option("--year", type=click.IntRange(2000, 2100), metavar="YEAR", help="Lambing year; default from the dates in the list.")
@click.option("--ram-in", type=_DAY, metavar="DATE", help="First day the rams were with the ewes.")
@click.option("--ram-out", type=_DAY, metavar="DATE", help="Last day the rams were with the ewes.")
@click.option("--columns", default="", metavar='"THEIRS=OURS,..."', 
              help='Headings not recognised: "Their heading=ewe,...". Ours are '
                   f"{_NAMES}, or a history column of Ewes such as past_born; "
                   f"of a tally {_TALLY_NAMES}. A list without headings has columns A, B, C.")
@click.option("--dates", type=click.Choice(["dmy", "mdy", "ymd"]),
              help="How dates are written; default as each column of dates shows.")
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
    scan_list: Path | None, previous: Path | None, decisions: Path | None, key: Path | None, output: Path | None,
    year: int | None, ram_in: datetime | None, ram_out: datetime | None, columns: str,
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
    if key and decisions is None:
        raise click.UsageError("--key is for a summary made from a shared copy: give that too, with --decisions.")
    if decisions and previous is None:
        raise click.UsageError("--decisions is what was decided about the ewes of a season: give that too, with --previous.")
    try:
        mating = Mating(_date(ram_in), _date(ram_out), year)
        given = parse_columns(columns) if columns else {}
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    unit, starts = WeightUnit[weights.upper()] if weights else None, Start(start) if start else None
    inputs, scan, begun = [path for path in (scan_list, previous, decisions, key) if path], None, None
    written: list[Path] = []
    target = output or (beside(scan_list, "season") if scan_list else None)
    with in_words():
        if target and not preview:
            try_targets([target, paper_of(target)], inputs, force)
        if scan_list:
            say(f"Reading {scan_list.name} ...")
            scan = read_list(scan_list, columns=given, dates=dates, year=year)
        if start == Start.SIMPLE.value and isinstance(scan, TallyList):
            raise click.UsageError("--start simple gives each ewe a row, and a tally lists no ewes: leave --start out.")
        if previous:
            from workbook.carrying.building import follow_season
            from workbook.carrying.files import Asked, begin

            say(f"Reading {previous.name} ...")
            begun = begin(previous, decisions, scan, Asked(mating, Order(order), starts, unit, key), say)
        if previous and begun and not target:
            target = _the_year_after(previous, begun.year)
            if not preview:
                try_targets([target, paper_of(target)], inputs, force)
        assert target is not None
        if previous and begun and not preview:
            written = follow_season(begun, previous, scan, target, _date(as_of), paper=paper_of(target), force=force, tell=say)
        elif scan and not preview:
            written = start_season(scan, target, mating, Order(order), starts, _date(as_of), paper=paper_of(target),
                                   weights_in=unit or WeightUnit.KG, force=force, tell=say)
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


@click.command(short_help="What to print now, for what is still to come.")
@click.argument("season", type=FILE)
@click.option("-o", "--output", type=FILE, help="Where to write; default NAME-paper.xlsx beside NAME-season.xlsx.")
@as_of_option
@force_option
def paper(season: Path, output: Path | None, as_of: datetime | None, force: bool) -> None:
    """Write the sheets to print and write on, for what is still to come.

    Shed sheets and pen cards for ewes still to lamb, handling and weighing sheets for animals that are here, counts not made
    yet, and whom to look at tonight. build writes the same for a season that begins.

    \b
    Example:  lambing-workbook paper flock-season.xlsx
    """
    from template_builder.layout.words import so_many
    from template_builder.paper import write_paper
    from workbook.output.still_to_come import in_words as said
    from workbook.output.still_to_come import paper_flock
    from workbook.reading.season_file import read
    from workbook.results.pipeline import check as check_season
    from workbook.rules.rule import Severity

    target = output or paper_of(season)
    with in_words():
        try_targets([target], [season], force)
        say(f"Reading {season.name} ...")
        checked = check_season(read(season, as_of, say), say)
        found = checked.season
        flock = paper_flock(found)
        write_paper(target, flock, found.called, found.start, found.as_of, force=force, tell=say)
    click.echo(said(found, flock))
    errors = sum(problem.rule.severity is Severity.ERROR for problem in checked.problems)
    if errors:
        click.echo(f"{so_many(errors, 'error')} in the records may keep animals on paper or off it: "
                   f"lambing-workbook check {season} says where.")
    click.echo(f"Written: {target}")
    sys.exit(NEEDS_A_PERSON if errors else FINE)
