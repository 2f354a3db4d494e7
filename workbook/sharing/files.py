"""From a season workbook to the copy that may leave the farm, and the key that stays there."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from template_builder.build import Plan, build
from template_builder.files.progress import Tell, silent
from template_builder.files.targets import check_targets
from template_builder.files.writing import writing
from template_builder.layout.columns import Row
from template_builder.layout.sheets.later import ANSWERS
from template_builder.layout.words import shown
from template_builder.live_values import with_values
from workbook.output.report import headline
from workbook.reading.filled import held
from workbook.reading.season_file import Reading, read
from workbook.results.pipeline import analyse
from workbook.rules.answers import answered
from workbook.season.believable import this_minute
from workbook.season.season import Season
from workbook.sharing.answered import answers_in_copy
from workbook.sharing.draft import draft, letter
from workbook.sharing.identities import Keep, Shared, without_identities
from workbook.sharing.key import must_be_of, read_key
from workbook.sharing.key_page import write_key


def share_file(
    path: Path, target: Path, key: Path, keep: Collection[Keep] = (), *, email: Path | None = None, force: bool = False,
    tell: Tell = silent,
) -> Shared:
    """Write the shared copy of `path` to `target`, its key to `key` and a draft to `email`. Raises Unreadable, WriteError.

    A key that is there is read first, so that every name in it keeps its alias, and is written on.
    """
    before = read_key(key) if key.is_file() else None
    targets = [target, key, *([email] if email else [])]
    check_targets(targets, [path], force=force, texts={email: ".eml"} if email else {}, anew=[key] if before else (), held=held)
    reading = read(path, None, tell)
    if before:
        must_be_of(before, key.name, reading.season)
    shared = without_identities(reading.season, keep, before)
    answers = _answers(reading, shared)
    shared = replace(shared, rows={**shared.rows, ANSWERS.id: answers}, answered=len(answers))
    tell("Working out the formulas")
    if shared.key != before:
        write_key(key, shared.key, force=force, anew=before is not None, tell=tell)
    build(target, _plan(reading.season, shared), force=force, tell=tell)
    if email:
        _write_draft(target, shared.key.stays, email, force, tell)
    return shared


def _plan(season: Season, shared: Shared) -> Plan:
    title = f"Lambing season {season.year}, {shared.key.flock.alias}"
    built = "A copy to share: names and numbers are replaced."
    return with_values(Plan(title, shared.rows, season.start, built), this_minute())


def _answers(reading: Reading, shared: Shared) -> list[Row]:
    """What stays answered; to know what the copy will be asked about, one is written out of sight and read."""
    if not answered(reading.season):
        return []
    with TemporaryDirectory() as folder:
        first = Path(folder) / "copy.xlsx"
        build(first, _plan(reading.season, shared))
        return answers_in_copy(reading, read(first, reading.season.as_of))


def _write_draft(shared: Path, kept: Sequence[str], target: Path, force: bool, tell: Tell) -> None:
    """A message draft with the copy at `shared` attached; its words come from the copy, never from the original."""
    result = analyse(read(shared, None, tell), tell)
    season = result.season
    words = letter(shared.name, season.title or season.called, shown(season.as_of), kept, headline(result))
    message = draft(season.called, words, shared.name, shared.read_bytes())
    with writing(target, force=force) as temporary:
        temporary.write_bytes(message)
