"""What each sheet to print is for and what it asks, in words, for the guide."""

from collections.abc import Iterable, Iterator

from template_builder.layout import paper_tabs as tabs
from template_builder.layout.columns import Start
from template_builder.layout.whole import column_at
from template_builder.paper import counting, feeding, handling, look_up, one_row, pen_cards, shed, tonight
from template_builder.paper.animals import PaperFlock
from template_builder.paper.pages import PaperColumn

ABOUT = (
    "Printed to be written on: `NAME-paper.xlsx`, which `build` writes beside the season workbook and `paper` again for what is "
    "still to come. Its columns are those of the sheets above, in the same words and order."
)


def described() -> Iterator[tuple[str, str, str]]:
    """Each sheet: its tab, what it is for, the columns it has."""
    flock = PaperFlock()
    titles = [column_at(address).title for address, _ in pen_cards.ASKED]
    yield tabs.FEEDING, "the feeding groups of Plan, each ewe still to lamb by number, with a box to tick", _titles(
        feeding.one_list(flock))
    yield tabs.WEEKS, "what falls due before lambing, week by week, for which group", _titles(feeding.WEEK_COLUMNS)
    yield tabs.TONIGHT, "who needs a look, most urgent first, while there is anyone", _titles(tonight.tonight_columns(flock))
    yield tabs.SHED, "a block of rows for each ewe still to lamb, one for each lamb and one more", _titles(
        shed.shed_form(flock, Start.INDOORS).asks)
    yield f"{tabs.SHED}, simple start", "a row for each ewe still to lamb", _titles(one_row.shed_columns(flock))
    yield tabs.RUNNING, "numbered lines in order of lambing; of a day book those nobody has written on", _titles(
        shed.running_form(flock, Start.INDOORS).asks)
    yield tabs.LOOK_UP, "every ewe here by number", _titles(look_up.one_list(flock))
    yield tabs.PEN_CARDS, "a card for each ewe still to lamb, to cut out", ", ".join(titles)
    yield tabs.HANDLING, "ewes here, mark by mark, with a box to tick for each finding", ", ".join(dict.fromkeys(
        column_at(column.of[0]).title for column in handling.handling_columns(flock)))
    yield tabs.COUNTING, "each group and stage not counted yet", _titles(counting.count_columns(flock))
    yield tabs.WEIGHING, "lambs here, mark by mark", _titles(counting.one_list(flock))


def _titles(columns: Iterable[PaperColumn]) -> str:
    return ", ".join(dict.fromkeys(column.title for column in columns if column.title))
