"""The group workbook: farms by letter, what stands outside, funnel plots, quartiles, every figure, targets, how it was done."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from template_builder.files.look import STRONG, TAB_GROUND, TAB_READ, WHOLE
from template_builder.files.progress import Tell, silent
from template_builder.files.tab import Cell, Head, Shown, Tab
from template_builder.files.writer import Book, new_book
from template_builder.layout.group_tabs import ALL_FIGURES, BESIDE, FARMS_IN, FUNNELS, GROUP, QUARTILES, SIDE_BY_SIDE
from template_builder.layout.words import so_many
from workbook.comparing.cells import (
    COUNT,
    LETTER,
    PLACE,
    PRINTED,
    SHARE,
    SMALL,
    count,
    figure,
    known,
    place,
    published,
    rows_of,
    written,
)
from workbook.comparing.charts import MOST_LETTERS, Pictures
from workbook.comparing.farm import Farm
from workbook.comparing.group import Compared
from workbook.comparing.how import QUESTION, write_how
from workbook.comparing.letters import Named, write_key_tab
from workbook.comparing.like import LEAST_FARMS
from workbook.comparing.side_by_side import write_side_by_side
from workbook.results.statistics.funnel import FAR, WARN
from workbook.results.statistics.proportions import PER_CENT

NAME = STRONG.with_(size=10, wrap=True, valign="top")
SCREEN = "The table is for the screen and is not printed: side by side and quartiles say it short, a farm's page all of its own."
_OUTSIDE = ((Head("Farm", LETTER), 7.0), (Head("Loss", NAME), 26.0), (Head("Among farms", SMALL), 22.0),
            (Head("Counted", COUNT), 9.0), (Head("Of", COUNT), 9.0), (Head("Share", SHARE), 9.0), (Head("Group", SHARE), 9.0),
            (Head("Where it lies", SMALL), 24.0))
_LOSSES = ("Farms", "Loss", "Among farms", "Outside 95\u00a0%", "By chance, at most", "Group", "Outside 99.8\u00a0%",
           "Do farms differ?")
_FARMS = ((Head("Farm", LETTER), 7.0), (Head("Year", WHOLE), 7.0), (Head("Stage", SMALL), 11.0), (Head("Ewes", COUNT), 8.0),
          (Head("How recorded", SMALL), 14.0), (Head("Where ewes lamb", SMALL), 16.0),
          (Head("Errors in the records", COUNT), 10.0), (Head("Figures compared with nobody, and why", SMALL), 52.0))
_QUARTILES = ((Head("Figure", NAME), 32.0), (Head("Among farms", SMALL), 20.0), (Head("Farms", COUNT), 7.0),
              (Head("Lower quartile"), 10.0), (Head("Median"), 10.0), (Head("Upper quartile"), 10.0),
              (Head("All together"), 10.0), (Head("Counted", COUNT), 9.0), (Head("Of", COUNT), 9.0),
              (Head("Published", SMALL), 12.0), (Head("Source", SMALL), 30.0))
_ALL = ((Head("Figure", NAME), 31.0), (Head("Among farms", SMALL), 17.0), (Head("Farm", LETTER), 6.5), (Head("Value"), 9.0),
        (Head("Counted", COUNT), 8.5), (Head("Of", COUNT), 8.5), (Head("Place from the lowest", PLACE), 9.0),
        (Head("Quarter", SMALL), 15.0), (Head("Lower quartile"), 9.0), (Head("Median"), 9.0), (Head("Upper quartile"), 9.0),
        (Head("Why compared with nobody", SMALL), 22.0))
_BESIDE = ((Head("Farm", LETTER), 7.0), (Head("Figure", NAME), 28.0), (Head("This season"), 10.0), (Head("Own target"), 10.0),
           (Head("Last season"), 10.0), (Head("Group median"), 10.0), (Head("Published", SMALL), 12.0),
           (Head("Source", SMALL), 34.0))


def write_group(path: Path, found: Compared, key: Sequence[Named] = (), *, force: bool = False, tell: Tell = silent) -> None:
    """Write the group workbook, all or nothing. It names no farm unless it is given the `key`."""
    title = f"Comparison of {so_many(len(found.farms), 'farm')}"
    with new_book(path, title=title, force=force, tell=tell) as book:
        write = _Writer(book, found, title)
        write.group()
        write_side_by_side(book, found, title)
        write.farms()
        write.funnels()
        write.quartiles()
        write.figures()
        write.beside()
        write_how(book, found, title)
        if key:
            write_key_tab(book, key, title)
        for page in book.pages:
            page.shown_at(colour=TAB_READ if page.title in (GROUP, SIDE_BY_SIDE, FUNNELS) else TAB_GROUND)


class _Writer:
    """Writes the tabs of one group."""

    def __init__(self, book: Book, found: Compared, title: str) -> None:
        self.book, self.found, self.title = book, found, title

    def _tab(self, name: str, columns: Sequence[tuple[Head, float]], *lines: str) -> Tab:
        tab = Tab(self.book, name, [width for _, width in columns], self.title, read=True)
        tab.title(name if name != GROUP else self.title, *lines)
        return tab

    def group(self) -> None:
        """Who stands outside which limit, and each loss in a line."""
        tab = self._tab(GROUP, _OUTSIDE, _years(self.found.farms), QUESTION)
        heads = [head for head, _ in _OUTSIDE]
        tab.section("Far outside: the 99.8 % limits", "Farms whose loss lies so far from that of farms alike as chance seldom "
                    "puts it. Above is more lost, below less.")
        tab.table(heads, list(_outside(self.found, far=True)), name="far_outside",
                  empty="No farm lies outside these limits." if self.found.funnels else self._no_funnels())
        if self.found.funnels:
            self._each_loss(tab)
            tab.section("Outside: the 95 % limits", "Here some stand by chance: hold their number against that above. Whoever is "
                        "nowhere here is inside all limits, or has too few animals, or is compared with nobody: see All figures.")
            tab.heads_repeated(tab.table(heads, list(_outside(self.found, far=False)), name="outside",
                                         empty="No farm lies outside these alone."))

    def _each_loss(self, tab: Tab) -> None:
        with tab.kept_together():
            tab.section("Each loss", "How many farms stand outside, beside how many chance alone would put there. Funnel plots "
                        "show them all.")
            heads = [Head(title, head.style) for title, (head, _) in zip(_LOSSES, _OUTSIDE, strict=True)]
            heads[0] = Head(_LOSSES[0], COUNT)
            tab.table(heads, list(_losses(self.found)), name="each_loss")

    def _no_funnels(self) -> str:
        return f"No loss is known of {LEAST_FARMS} farms that are alike, so there are no limits and no funnel plots."

    def farms(self) -> None:
        tab = self._tab(FARMS_IN, _FARMS, "Farms stand side by side only where their figures are known in the same way. A figure "
                        "resting on records with errors is not to be trusted.")
        rows = [[farm.letter, farm.year, farm.stage, farm.ewes, farm.recorded.value, farm.where.value, farm.errors,
                 self._alone(farm)] for farm in self.found.farms]
        tab.heads_stay(tab.table([head for head, _ in _FARMS], rows, name="farms_in_the_group"))

    def _alone(self, farm: Farm) -> str:
        """The figures a farm has that are compared with nobody, by why."""
        figures = written(self.found.figures)
        rows = figures[(figures["farm"] == farm.letter) & (figures["why"] != "")]
        why: dict[str, list[str]] = {}
        for id, title, words in zip(rows["figure"], rows["title"], rows["why"], strict=True):
            why.setdefault(words if farm.numbers[id].why else f"under {LEAST_FARMS} farms alike", []).append(title)
        return "; ".join(f"{words}: {', '.join(titles) if len(titles) <= 3 else f'{len(titles)} figures'}"
                         for words, titles in why.items()) or "none"

    def funnels(self) -> None:
        """A picture of each loss."""
        tab = Tab(self.book, FUNNELS, (100.0,), self.title, read=True)
        tab.title(FUNNELS, "Each farm's share over its number of animals. Few animals scatter widely by chance: limits are "
                  f"wide on the left. Among over {MOST_LETTERS} farms only those outside a limit carry their letter. {QUESTION}")
        if not self.found.funnels:
            tab.prose(self._no_funnels())
            return
        pictures = Pictures(self.book, tab)
        for funnel in self.found.funnels:
            pictures.draw(funnel)

    def quartiles(self) -> None:
        tab = self._tab(QUARTILES, _QUARTILES, "Of 100 farms alike 25 lie below the lower quartile, 50 below the median, 75 "
                        "below the upper one. All together is what all farms counted over what they counted it against. "
                        f"{PRINTED}")
        rows: list[list[Shown]] = []
        for row in rows_of(self.found.group):
            figures = [figure(row[name], row["unit"]) for name in ("lower_quartile", "median", "upper_quartile", "pooled")]
            rows.append([row["title"], row["like"], count(row["farms"]), *figures, count(row["numerator"]),
                         count(row["denominator"]), *published(row["figure"])])
        tab.heads_stay(tab.table([head for head, _ in _QUARTILES], rows, name="quartiles_of_the_group",
                                 empty=f"No figure is known of {LEAST_FARMS} farms that are alike."))

    def figures(self) -> None:
        tab = self._tab(ALL_FIGURES, _ALL, "Every figure of every farm with what was counted, of how many. Figures that nobody "
                        "recorded are left out. What each counts is said on How compared. A place is no verdict: ask what lies "
                        f"behind it. {SCREEN}")
        tab.paper_ends()
        rows: list[list[Shown]] = []
        for row in rows_of(written(self.found.figures)):
            quartiles = [figure(row[name], row["unit"]) for name in ("lower_quartile", "median", "upper_quartile")]
            rows.append([row["title"], row["like"], row["farm"], figure(row["value"], row["unit"], bold=True),
                         count(row["numerator"]), count(row["denominator"]), place(row["place"], row["farms"]),
                         row["quarter"] if known(row["quarter"]) else None, *quartiles, row["why"] or None])
        if top := tab.table([head for head, _ in _ALL], rows, name="all_figures"):
            tab.page.freeze(top + 1)

    def beside(self) -> None:
        tab = self._tab(BESIDE, _BESIDE, "This season beside the farm's own target and last season, as they stand on its "
                        "Season, the median of farms alike, and a range met in print with its source. A difference may be "
                        f"chance: see Funnel plots. {PRINTED}")
        rows = [[row["farm"], row["title"], *beside(row)] for row in rows_of(self.found.figures)
                if known(row["value"]) and (known(row["target"]) or known(row["last_season"]))]
        rows.sort(key=lambda row: (len(str(row[0])), str(row[0])))
        tab.heads_stay(tab.table([head for head, _ in _BESIDE], rows, name="beside_targets",
                                 empty="No farm has a target or a figure of last season on its Season."))


def beside(row: Mapping[str, object]) -> list[Shown]:
    """A figure with the farm's target, last season, the median of farms alike, and a range met in print with its source."""
    unit = str(row["unit"])
    return [figure(row["value"], unit, bold=True), figure(row["target"], unit), figure(row["last_season"], unit),
            figure(row["median"], unit), *published(str(row["figure"]))]


def _outside(found: Compared, *, far: bool) -> Iterator[list[Shown]]:
    """A row for each farm outside the outer limits, or outside the inner ones alone."""
    errors = {farm.letter: farm.errors for farm in found.farms}
    standing = [(funnel, farm) for funnel in found.funnels for farm in funnel.outside]
    for funnel, farm in (one for one in standing if far == (one[1].where in FAR)):
        yield [farm.letter, funnel.measure.title, funnel.like, count(farm.lost), count(farm.of), PER_CENT * farm.share,
               PER_CENT * funnel.share, _with_errors(farm.where.value, errors[farm.letter])]


def _with_errors(where: str, errors: int) -> str:
    """Where a farm lies; with errors in its records they are to be looked at first."""
    return f"{where}; {so_many(errors, 'error')} in its records" if errors else where


def _losses(found: Compared) -> Iterator[list[Shown]]:
    for funnel in found.funnels:
        far = sum(farm.where in FAR for farm in funnel.outside)
        spread = funnel.spread
        differ = "too few farms to tell" if spread.phi is None else (
            f"more than chance: {spread.phi:.2f} times; limits widened" if spread.over else "not clearly more than chance")
        yield [len(funnel.farms), funnel.measure.title, funnel.like, len(funnel.outside),
               Cell((1 - WARN) * len(funnel.farms), COUNT.with_(number_format="0.0")), PER_CENT * funnel.share,
               Cell(far, COUNT), differ]


def _years(farms: Sequence[Farm]) -> str:
    """Which seasons there are, and whether they are of one year."""
    years = sorted(Counter(farm.year for farm in farms if farm.year).items())
    listed = ", ".join(f"{year} ({so_many(number, 'farm')})" for year, number in years)
    return f"Seasons: {listed}." + (" Years differ in weather and prices: not everything here is like with like."
                                    if len(years) > 1 else "")
