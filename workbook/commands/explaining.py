"""explain and demo: what the outputs mean, and an invented season to look at."""

from pathlib import Path

import click

from workbook.commands.face import CannotRun, force_option, in_words, perhaps, say

JSON = "json"  # what explain prints the schema for


@click.command(short_help="What a rule, figure, setting or alert means.")
@click.argument("name", required=False)
def explain(name: str | None) -> None:
    """Explain anything that an output names by its id: what it means, why, where it comes from, its limits, an example.

    Rules of check, selection rules, figures, settings, alerts, lines of the litter account, parts of the mothering score.
    Without a name it lists them all; json prints the schema of what check and analyse write as JSON.

    \b
    Example:  lambing-workbook explain C101
              lambing-workbook explain reared_pct
    """
    from workbook.output.explaining import NO_FIGURES, find, listing, near

    if name == JSON:
        from workbook.output.data.whole import schema_json

        click.echo(schema_json().encode("utf-8"))
        return
    if name is None:
        click.echo(listing())
        return
    found = find(name)
    if not found:
        raise CannotRun(f"There is nothing called {name!r}.{perhaps(near(name))} `lambing-workbook explain` lists them all. "
                        f"{NO_FIGURES}".strip())
    click.echo("\n\n".join(entry.text.strip() for entry in found))


@click.command(short_help="An invented season to look at.")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@force_option
def demo(folder: Path, force: bool) -> None:
    """Write an invented flock's season into a folder: scan list, empty, clean and messy workbook, summary.

    \b
    Example:  lambing-workbook demo my-demo
    """
    from workbook.demo import copy_demo

    with in_words():
        say(f"Writing the demo into {folder} ...")
        written = copy_demo(folder, force=force)
    for path, words in written:
        click.echo(f"{path}: {words}")
    click.echo(f"Open {written[-1][0]} first: it is what the selection meeting reads.")
