"""From a season workbook to the copy that may leave the farm, and the key that stays there."""

import csv
from collections.abc import Collection
from datetime import datetime
from pathlib import Path

from template_builder.build import Plan, build
from template_builder.files.progress import Tell, silent
from template_builder.files.targets import check_targets
from template_builder.files.writing import writing
from template_builder.live_values import with_values
from workbook.output.report import headline
from workbook.reading.filled import held
from workbook.reading.season_file import read
from workbook.results.pipeline import analyse
from workbook.sharing.draft import draft
from workbook.sharing.identities import Keep, Shared, without_identities


def share_file(
    path: Path, target: Path, key: Path, keep: Collection[Keep] = (), *, email: Path | None = None, force: bool = False,
    tell: Tell = silent,
) -> Shared:
    """Write the shared copy of `path` to `target`, its key to `key` and a draft to `email`. Raises Unreadable, WriteError."""
    texts = {key: ".csv", **({email: ".eml"} if email else {})}
    check_targets([target, *texts], [path], force=force, texts=texts, held=held)
    season = read(path, None, tell).season
    shared = without_identities(season, keep)
    plan = Plan(f"Lambing season {season.year}", shared.rows, season.start, "A copy to share: names and numbers are replaced.")
    tell("Working out the formulas")
    with writing(key, force=force) as temporary, temporary.open("w", encoding="utf-8-sig", newline="") as file:
        lines = csv.writer(file)
        lines.writerow(("what", "in the copy", "original"))
        lines.writerows((kind.what, alias, name) for kind in shared.aliases for alias, name in kind.given.values())
    now = datetime.now().replace(second=0, microsecond=0)
    build(target, with_values(plan, now), force=force, tell=tell)
    if email:
        _write_draft(target, email, force, tell)
    return shared


def _write_draft(shared: Path, target: Path, force: bool, tell: Tell) -> None:
    """A message draft with the copy at `shared` attached; its words come from the copy, never from the original."""
    result = analyse(read(shared, None, tell), tell)
    message = draft(result.season.called, headline(result), shared.name, shared.read_bytes())
    with writing(target, force=force) as temporary:
        temporary.write_bytes(message)
