"""A page to send back to one farm: its own numbers beside the group's middle, and no other farm's."""

from collections.abc import Mapping
from pathlib import Path

from template_builder.files.look import PROSE, TAB_GROUND, TAB_READ
from template_builder.files.progress import Tell, silent
from template_builder.files.tab import Head, Shown, Tab
from template_builder.files.writer import Book, new_book
from template_builder.layout.group_tabs import YOUR_FARM, YOUR_FUNNELS
from workbook.comparing.book import NAME, beside
from workbook.comparing.cells import COUNT, PRINTED, SMALL, count, figure, known, rows_of, written
from workbook.comparing.charts import Pictures, all_in
from workbook.comparing.farm import Farm
from workbook.comparing.group import Compared
from workbook.comparing.how import QUESTION, write_how
from workbook.comparing.like import ALL_FARMS, LEAST_FARMS
from workbook.comparing.measures import MEASURE
from workbook.results.statistics.proportions import PER_CENT

SMALL_PROSE = PROSE.with_(size=9)
WIDTHS = (32.0, 10.0, 10.0, 10.0, 10.0, 10.0, 10.0, 8.0, 34.0)
_FIGURES = (Head("Figure", NAME), Head("You"), Head("Counted", COUNT), Head("Of", COUNT), Head("Lower quartile"), Head("Median"),
            Head("Upper quartile"), Head("Farms", COUNT), Head("Among farms, and where you lie", SMALL))
_BESIDE = (Head("Figure", NAME), Head("This season"), Head("Own target"), Head("Last season"), Head("Group median"),
           Head("Published", SMALL), Head("Source", SMALL))
_SPANS = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 5), (6, 6), (7, 9))
_LIMITS = (Head("Loss", NAME), Head("You"), Head("Counted", COUNT), Head("Of", COUNT), Head("Group"), Head("95 % limits from"),
           Head("95 % limits to"), Head("Farms", COUNT), Head("Where you lie", SMALL))


def write_farm_page(path: Path, found: Compared, farm: Farm, *, force: bool = False, tell: Tell = silent) -> None:
    """Write one farm's page. Of the others it holds only quartiles and limits of five farms or more."""
    name = farm.flock or "Your farm"
    title = f"{name}, season {farm.year}, beside its group" if farm.year else f"{name} beside its group"
    with new_book(path, title=title, force=force, tell=tell) as book:
        _own(book, found, farm, title)
        _funnels(book, found, farm, title)
        write_how(book, found, title)
        for page in book.pages:
            page.shown_at(colour=TAB_READ if page.title in (YOUR_FARM, YOUR_FUNNELS) else TAB_GROUND)


def _own(book: Book, found: Compared, farm: Farm, title: str) -> None:
    tab = Tab(book, YOUR_FARM, WIDTHS, title, read=True)
    tab.title(title, f"{len(found.farms)} farms are in the group; you are farm {farm.letter} in it. Your lambs are known "
              f"{farm.recorded.value}, your ewes lamb: {farm.where.value}; you stand beside farms that do the same. Of other "
              f"farms there is nothing here but what {LEAST_FARMS} or more have in common. {QUESTION}")
    own = found.figures[found.figures["farm"] == farm.letter]
    rows = rows_of(own)
    limits = list(_limits(found, farm))
    tab.section("Losses, and how far chance reaches")
    tab.table(_LIMITS, limits, name="losses_and_limits",
              empty=f"No loss of yours is known of {LEAST_FARMS} farms that are alike, so there are no limits.")
    tab.section("Your figures in the group")
    tab.table(_FIGURES, [_figure(row) for row in rows_of(written(own))], name="your_figures")
    if blank := [str(row["title"]) for row in rows if not known(row["denominator"])]:
        tab.prose(f"Not recorded: {', '.join(blank)}.", SMALL_PROSE)
    with tab.kept_together():
        tab.section("Beside your target, last season and what is in print", PRINTED)
        tab.spread([head.title for head in _BESIDE], _SPANS, None)
        for row in (row for row in rows if _worth(row)):
            tab.spread([row["title"], *beside(row)], _SPANS, SMALL)


def _worth(row: Mapping[str, object]) -> bool:
    """Whether a figure is known and has anything to stand beside."""
    measure = MEASURE[str(row["figure"])]
    beside = known(row["target"]) or known(row["last_season"]) or measure.published is not None or bool(measure.instead)
    return known(row["value"]) and beside


def _figure(row: Mapping[str, object]) -> list[Shown]:
    unit, shown = str(row["unit"]), known(row["median"])
    quartiles = [figure(row[name], unit) for name in ("lower_quartile", "median", "upper_quartile")]
    where = f"{row['like']}: {row['quarter']}" if shown else str(row["why"])
    own = figure(row["value"], unit, bold=True), count(row["numerator"]), count(row["denominator"])
    return [str(row["title"]), *own, *quartiles, count(row["farms"] if shown else None), where]


def _limits(found: Compared, farm: Farm) -> list[list[Shown]]:
    rows: list[list[Shown]] = []
    for funnel in all_in(found.funnels, farm.letter):
        own = next(one for one in funnel.farms if one.letter == farm.letter)
        shares = [figure(PER_CENT * share, "%") for share in (funnel.share, own.limits.low_warn, own.limits.high_warn)]
        rows.append([funnel.measure.title, figure(PER_CENT * own.share, "%", bold=True), count(own.lost), count(own.of), *shares,
                     count(len(funnel.farms)), f"{own.where.value}, among {_whom(funnel.like)}"])
    return rows


def _whom(like: str) -> str:
    return like if like == ALL_FARMS else f"farms {like}"


def _funnels(book: Book, found: Compared, farm: Farm, title: str) -> None:
    own = all_in(found.funnels, farm.letter)
    if not own:
        return
    tab = Tab(book, YOUR_FUNNELS, (100.0,), title, read=True)
    tab.title(YOUR_FUNNELS, f"You among the limits of the group; other farms are not shown. {QUESTION}")
    pictures = Pictures(book, tab, farm.letter)
    for funnel in own:
        pictures.draw(funnel)
