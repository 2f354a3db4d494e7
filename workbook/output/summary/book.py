"""The summary workbook: everything a result says, one tab for each question of the meeting."""

from pathlib import Path

from template_builder.files.look import PROJECTED, TAB_GROUND, TAB_READ, TAB_ROWS
from template_builder.files.progress import Tell, silent
from template_builder.files.writer import new_book
from template_builder.layout.summary_tabs import (
    MEETING,
    METHOD,
    POLICY,
    RECORDS_EWES,
    RECORDS_LAMBING,
    RECORDS_LAMBS,
    RECORDS_OTHER,
    TO_CORRECT,
)
from workbook.output.summary.ewe_decisions import in_order_of_verdict, printed_columns, write_ewe_decisions
from workbook.output.summary.flags import flags_of
from workbook.output.summary.flock_plan import write_flock_plan
from workbook.output.summary.lambs import write_lambs
from workbook.output.summary.litter_account import write_litter_account
from workbook.output.summary.live.flock import FlockNow
from workbook.output.summary.live.given import live_decisions
from workbook.output.summary.live.write import write_hidden
from workbook.output.summary.losses import write_losses
from workbook.output.summary.marks import write_marks
from workbook.output.summary.meeting import write_meeting
from workbook.output.summary.method import write_method
from workbook.output.summary.mothering import write_mothering
from workbook.output.summary.pack import Around
from workbook.output.summary.phrases import footer_words
from workbook.output.summary.places import places_of
from workbook.output.summary.policy import write_policy
from workbook.output.summary.problem_ewes import write_problem_ewes
from workbook.output.summary.records import write_records
from workbook.output.summary.replacements import write_replacements
from workbook.output.summary.scanning import write_scanning
from workbook.output.summary.to_correct import write_to_correct
from workbook.results.pipeline import Result
from workbook.results.scores.mothering import any_scored
from workbook.season.season import Season

TAB_COLOURS = {
    **dict.fromkeys((POLICY, TO_CORRECT, METHOD), TAB_GROUND),
    **dict.fromkeys((RECORDS_EWES, RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER), TAB_ROWS),
}


def title_of(season: Season) -> str:
    """What the summary of a season is called in its properties: flock, year, and what it is."""
    return f"{season.title} summary".strip()


def write_summary(result: Result, path: Path, *, force: bool = False, anew: bool = False, tell: Tell = silent) -> None:
    """Write the summary workbook of a result at `path`, all or nothing. It opens on Meeting.

    `anew` is for one that is brought up to date, as that of a folder. Raises WriteError where `path` is already there and neither
    `force` nor `anew` is given, or where it cannot be written.
    """
    places = places_of(result.season)
    flags = flags_of(result, places)
    footer = footer_words(result.season)
    decisions = in_order_of_verdict(result)
    live = live_decisions(
        decisions, result.season.policy, printed_columns(result), flock=FlockNow.of(result)) if decisions else None
    with new_book(path, title=title_of(result.season), force=force, anew=anew, tell=tell) as book:
        write_meeting(book, Around(result, places, flags, live), footer)
        if live:
            write_ewe_decisions(book, result, live, places, footer)
            write_marks(book, live, footer)
            write_flock_plan(book, result, live, footer)
        if live and result.replacements:
            write_replacements(book, result, places, footer)
        if result.rearing.lambs.lambs:
            write_lambs(book, result, footer)
        if not result.by_counts_alone:
            write_losses(book, result, places, footer)
        write_litter_account(book, result, places, flags, footer)
        if not result.by_counts_alone:
            write_scanning(book, result, footer)
        if any_scored(result.mothering.values()):
            write_mothering(book, result, places, footer)
        if not result.by_counts_alone:
            write_problem_ewes(book, result, places, footer)
        write_policy(book, result, live, footer)
        write_to_correct(book, result, places, footer)
        write_records(book, places, flags, footer)
        write_method(book, result, footer)
        if live:
            write_hidden(book, live)
        for page in book.pages:
            page.shown_at(zoom=PROJECTED if page.title == MEETING else 100, colour=TAB_COLOURS.get(page.title, TAB_READ))
