"""The summary workbook: everything a result says, one tab for each question of the meeting."""

from pathlib import Path

from template_builder.excel import new_book
from workbook.pipeline import Result
from workbook.summary.ewe_decisions import write_ewe_decisions
from workbook.summary.front import write_front
from workbook.summary.litter_account import write_litter_account
from workbook.summary.losses import write_losses
from workbook.summary.method import write_method
from workbook.summary.mothering import write_mothering
from workbook.summary.places import places_of
from workbook.summary.policy import write_policy
from workbook.summary.problem_ewes import write_problem_ewes
from workbook.summary.queries import write_queries
from workbook.summary.records import write_records
from workbook.summary.scanning import write_scanning
from workbook.summary.words import footer_words


def write_summary(result: Result, path: Path, *, force: bool = False) -> None:
    """Write the summary workbook of a result at `path`, all or nothing. It opens on Summary.

    Raises WriteError where `path` is already there and `force` is not given, or where it cannot be written.
    """
    places = places_of(result.season)
    footer = footer_words(result.season)
    title = f"{result.season.title} summary".strip()
    with new_book(path, title=title, force=force) as book:
        write_front(book, result, places, footer)
        write_litter_account(book, result, places, footer)
        write_scanning(book, result, footer)
        write_losses(book, result, places, footer)
        write_problem_ewes(book, result, places, footer)
        write_mothering(book, result, places, footer)
        write_ewe_decisions(book, result, places, footer)
        write_policy(book, result, footer)
        write_queries(book, result, places, footer)
        write_records(book, result, places, footer)
        write_method(book, result, footer)
