"""merge, compare and share: what goes between people."""

import sys
from datetime import datetime
from pathlib import Path

import click

from template_builder.files.names import beside
from workbook.commands.face import (
    FILE,
    FILE_OR_FOLDER,
    FINE,
    NEEDS_A_PERSON,
    as_of_option,
    force_option,
    in_words,
    inside,
    say,
    try_targets,
)

KEPT_IF_ASKED = (
    "ewe-numbers", "group-names", "ram-names", "breeds", "people", "tags", "flock-name", "products", "notes",
)


@click.command(short_help="One season workbook from several people's copies.")
@click.argument("copies", type=FILE, nargs=-1, required=True)
@click.option("-o", "--output", type=FILE, help="Where to write; default NAME-merged.xlsx beside the first copy.")
@click.option("--base", type=FILE, metavar="FILE",
              help="The workbook as it was when the copies were made: a cell that one copy has changed since is not a conflict.")
@click.option("--key", type=FILE, metavar="KEY",
              help="The key of shared copies among these: what came back in them goes to the animals it is about.")
@force_option
def merge(copies: tuple[Path, ...], output: Path | None, base: Path | None, key: Path | None, force: bool) -> None:
    """Make one season workbook of the copies that several people filled in, and list the cells where they differ.

    What a copy has added or changed is in the merged workbook, on its sheet Conflicts, or named as left out. Your own columns
    and sheets are kept as values, and colours and notes stay on their cells; your own charts and formulas are not kept. The
    copies stay as they are. check reports an open conflict as an error until it is settled.

    A shared copy that came back is merged with your own workbook and its key.

    \b
    Example:  lambing-workbook merge day.xlsx night.xlsx -o flock-season.xlsx --base flock-as-sent.xlsx
              lambing-workbook merge flock-season.xlsx shared-back.xlsx --base shared-season.xlsx --key flock-season-key.xlsx
    """
    from workbook.merging.files import merge_files
    from workbook.merging.report import text
    from workbook.sharing.naming import naming

    if len(copies) < 2:
        raise click.UsageError("Give two copies or more.")
    target = output or beside(copies[0], "merged")
    with in_words():
        try_targets([target], [path for path in (*copies, base, key) if path], force)
        say(f"Reading {len(copies)} copies ...")
        done = merge_files(copies, target, base, named=naming(key), force=force, tell=say)
    click.echo(text(done))
    click.echo(f"Written: {target}")
    sys.exit(NEEDS_A_PERSON if done.conflicts else FINE)


@click.command(short_help="Many farms side by side, by letter.")
@click.argument("seasons", metavar="SEASON|FOLDER...", type=FILE_OR_FOLDER, nargs=-1, required=True)
@click.option("-o", "--output", type=FILE,
              help="Where to write; default NAME-group.xlsx in the folder, group.xlsx beside a file.")
@click.option("--key", type=FILE,
              help="Which farm is which letter; default NAME-key.xlsx beside the group workbook. A key that is already there "
                   "keeps its letters.")
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
    with inside("compare"):
        from workbook.comparing.files import Asked, compare_files, default_group, key_beside, said

    group = output or default_group(seasons)
    asked = Asked(key or key_beside(group), names, pages, as_of, together, force)
    with in_words():
        done = compare_files(seasons, group, asked, say)
    click.echo("\n".join(said(done.compared)))
    written = [path for path in done.written if pages is None or path.parent != pages or path in (group, asked.key)]
    more = len(done.written) - len(written)
    click.echo(f"Written: {' and '.join(map(str, written))}" + (f", and {more} pages of farms in {pages}" if more else ""))
    click.echo(f"The key says which farm is which letter: keep it to yourself ({asked.key}).")
    sys.exit(NEEDS_A_PERSON if any(left.asks for left in done.compared.left) else FINE)


@click.command(short_help="A copy without names and numbers, for an adviser.")
@click.argument("season", type=FILE)
@click.option("-o", "--output", type=FILE, help="Where to write; default shared-season.xlsx beside the season.")
@click.option("--key", type=FILE,
              help="Which name is which; default NAME-key.xlsx beside the season. A key that is already there keeps its "
                   "names, and new ones are added. It stays on the farm.")
@click.option("--email", type=FILE, help="Also write a message draft (.eml) with the copy attached and its figures as text.")
@click.option("--keep", multiple=True, metavar="WHAT", type=click.Choice(KEPT_IF_ASKED),
              help=f"Leave as written: {', '.join(KEPT_IF_ASKED)}. May be repeated.")
@force_option
def share(season: Path, output: Path | None, key: Path | None, email: Path | None, keep: tuple[str, ...], force: bool) -> None:
    """Write a copy of a season without identities: ewes, groups, rams, people and tags get other names, and notes go.

    The copy is built anew: comments, colours, your own columns and sheets are not in it. Dates and figures stay as they are.
    The key says which name is which: do not send it. With it, merge --key gives what comes back to the right animals, and
    build --key the decisions in a summary made from the copy.

    \b
    Example:  lambing-workbook share flock-season.xlsx --email to-adviser.eml
    """
    from workbook.sharing.files import share_file
    from workbook.sharing.identities import Keep
    from workbook.sharing.said import said

    target, names = output or season.with_name("shared-season.xlsx"), key or beside(season, "key")
    with in_words():
        shared = share_file(season, target, names, [Keep(what) for what in keep], email=email, force=force, tell=say)
    click.echo(said(shared))
    click.echo(f"Written: {target}" + (f" and {email}" if email else "") + f". The key stays on the farm: {names}")
