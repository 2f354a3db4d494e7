"""What is coming, on Progress: ewes expected each day with a band, pens needed, and beside them the ewes that lambed, live."""

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from template_builder.files.look import COUNT, ONE_DECIMAL, STRONG, WHOLE
from template_builder.files.room import FREE_ROW
from template_builder.files.tab import Cell, Head, Tab, at_top
from template_builder.files.writer import Book
from template_builder.forecast.days_chart import days_chart
from template_builder.forecast.per_day import Day, Forecast
from template_builder.layout.addresses import letters
from template_builder.layout.settings import SETTING
from template_builder.layout.whole import SHEET, column_name, setting_name
from template_builder.live.below import BELOW_LAMBING

LEAST_SHOWN = 0.05  # ewes or pens: days before and after with less are left off the page
DIGITS = 2  # kept of an expected number: more say nothing
NO_PENS = "not written on Season"
WIDTHS = (16.0, *[11.4] * 8)  # of Progress, whose upper part has one column more
_DAY = WHOLE.with_(number_format="ddd d mmm yyyy", align="right")
_TENTHS = ONE_DECIMAL.with_(align="center")
_PER_CENT = WHOLE.with_(number_format="0%")
_HEADS = (
    Head("Day", _DAY), Head("Ewes expected", _TENTHS), Head("Low (1 in 10 below)", COUNT), Head("High (1 in 10 above)", COUNT),
    Head("Share lambed by then", _PER_CENT), Head("Pens expected", _TENTHS), Head("Pens, enough in 9 of 10", COUNT),
    Head("Ewes lambed (live)", COUNT), Head("Two people that night", WHOLE),
)
_EXPECTED, _LOW, _HIGH, _PENS_HIGH, _LAMBED, _TWO = 2, 3, 4, 7, 8, 9
_CHART_ROWS, _FEWEST_ROWS = 13, 8  # of the usual height: what the chart takes, and what it makes do with where a page ends
_CHART_WIDTH, _ROW_PIXELS, _AIR = 790, 20, 10  # the width of a printed page, a row of the usual height, below the chart
_LIVE_LINES = 6
YES, PERHAPS = "yes", "perhaps"  # two people are wanted by what is expected, or only by the high number
_LIVE, _LIVE_COUNT = (at_top(style.with_(locked=True)) for style in (WHOLE, COUNT))
_CHART_WORDS = "Ewes lambing each day: those that lambed, how many were expected, and the band; the table has the numbers."
_DRAWN = ((_LAMBED, "Ewes lambed"), (_EXPECTED, "Ewes expected"), (_LOW, "Low"), (_HIGH, "High"))
_LAMBINGS = column_name(SHEET["lambing"], SHEET["lambing"].column("lambed_on"))
_PENS = setting_name(SETTING["pens"])
_TWO_SETTING = SETTING["two_people"]
_TWO_PEOPLE = f"IF(ISNUMBER({setting_name(_TWO_SETTING)}),{setting_name(_TWO_SETTING)},{_TWO_SETTING.default})"

HOW = (
    "Made when this workbook was built, from mating dates, ram dates or due dates and the settings on Season; it does not move "
    "when those are changed here. Ewes lambed, the pens you have, and nights for two people by the limit on Season are live. Low "
    "and high allow for chance alone, not for wrong dates, and count each ewe by herself. It does not allow for twins and "
    "triplets coming some days early."
)


class Limits(NamedTuple):
    """What Season says: pens there are, None where it does not say, and from how many ewes a night is one for two people."""

    pens: int | None
    two_people: float

    def people(self, day: Day) -> str:
        """Whether two people are wanted on a day and night, as the table has its numbers."""
        return YES if round(day.expected, DIGITS) >= self.two_people else PERHAPS if day.high >= self.two_people else ""


def write_days_to_come(book: Book, tab: Tab, forecast: Forecast, lambed: Mapping[date, int], limits: Limits) -> None:
    """Write them below what stands on the tab, and set up its pages. `limits` are what Season says as it stands now."""
    tab.section("What is coming: who lambs when, and how many pens", HOW)
    for words in forecast.words:
        tab.prose(f"\u2022 {words}")
    days = _worth_showing(forecast.days)
    rows = next((rows for rows in range(_CHART_ROWS, _FEWEST_ROWS - 1, -1) if tab.fits((_LIVE_LINES + 1 + rows) * FREE_ROW)),
                _CHART_ROWS)
    _write_live(tab, days, lambed, limits, below=1 + rows + 1)
    beside_words = tab.fits((1 + rows) * FREE_ROW)
    tab.new_page() if not beside_words else None
    corner, tab.row = tab.row + 1, tab.row + 1 + rows
    tab.new_page() if beside_words else None
    top = _write_days(tab, days, lambed, limits)
    chart = days_chart(book, "Ewes lambing each day", tab.page.title, (top + 1, top + len(days)), 1, _DRAWN)
    tab.page.place(corner, 1, chart, width=_CHART_WIDTH, height=rows * _ROW_PIXELS - _AIR, words=_CHART_WORDS)
    tab.page.print_setup(repeat=(top, top), footer=tab.footer)


def _worth_showing(days: tuple[Day, ...]) -> tuple[Day, ...]:
    """The days without the thin tails at both ends; a day on which a ewe lambed stays."""
    kept = [place for place, day in enumerate(days) if max(day.expected, day.pens) >= LEAST_SHOWN or day.lambed]
    return days[kept[0]:kept[-1] + 1] if kept else days


def _write_live(tab: Tab, days: tuple[Day, ...], lambed: Mapping[date, int], limits: Limits, *, below: int) -> None:
    """Pens there are, days on which they may not do, nights for two people, and ewes lambed on days not listed.

    The first day stands so many rows `below` the last line.
    """
    first = tab.row + _LIVE_LINES + below
    pens_needed, ewes_lambed, two_people = (f"${letters(column)}${first}:${letters(column)}${first + len(days) - 1}"
                                            for column in (_PENS_HIGH, _LAMBED, _TWO))
    listed, pens = {day.date for day in days}, limits.pens
    nights = [limits.people(day) for day in days]
    short = NO_PENS if pens is None else sum(day.pens_high > pens for day in days)
    lines: tuple[tuple[str, str, str | float], ...] = (
        ("Pens you have", f'=IF(ISNUMBER({_PENS}),{_PENS},"{NO_PENS}")', NO_PENS if pens is None else pens),
        ("Days on which more may be needed", f'=IF(ISNUMBER({_PENS}),COUNTIF({pens_needed},">"&{_PENS}),"{NO_PENS}")', short),
        ("Nights for two people, by the ewes expected", f'=COUNTIF({two_people},"{YES}")', nights.count(YES)),
        ("and perhaps so many more, by the high number", f'=COUNTIF({two_people},"{PERHAPS}")', nights.count(PERHAPS)),
        ("Ewes lambed on days not listed here", f"=COUNT({_LAMBINGS})-SUM({ewes_lambed})",
         sum(number for day, number in lambed.items() if day not in listed)),
        ("Rows of Lambing below those laid ready, not counted", f"={BELOW_LAMBING.name}", 0),
    )
    assert len(lines) == _LIVE_LINES
    for words, formula, value in lines:
        tab.page.across(tab.row, 1, 4, words, STRONG.with_(indent=1))
        tab.page.across(tab.row, 5, 6, "", WHOLE)
        tab.page.formula(tab.row, 5, formula, value, _LIVE)
        tab.free()


def _write_days(tab: Tab, days: tuple[Day, ...], lambed: Mapping[date, int], limits: Limits) -> int:
    """One row for each day; gives the row of the headings."""
    rows = [
        (Cell(day.date, _DAY), round(day.expected, DIGITS), day.low, day.high, round(day.share, DIGITS),
         round(day.pens, DIGITS), day.pens_high, None, None)
        for day in days
    ]
    top = tab.table(_HEADS, rows)
    for row, day in enumerate(days, start=top + 1):
        formula = f'=COUNTIFS({_LAMBINGS},">="&$A{row},{_LAMBINGS},"<"&$A{row}+1)'
        tab.page.formula(row, _LAMBED, formula, lambed.get(day.date, 0), _LIVE_COUNT)
        expected, high = (f"${letters(column)}{row}" for column in (_EXPECTED, _HIGH))
        people = f'=IF({expected}>={_TWO_PEOPLE},"{YES}",IF({high}>={_TWO_PEOPLE},"{PERHAPS}",""))'
        tab.page.formula(row, _TWO, people, limits.people(day), _LIVE)
        tab.page.height(row, FREE_ROW)
    return top
