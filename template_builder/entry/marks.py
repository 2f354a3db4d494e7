"""What shows while typing: cells that ask for another look, marked by what stands in the same row.

Each hint is a formula over cells of its own row and over limits mirrored in the hidden first row, never over another
sheet: such a mark follows its row when rows are sorted, and every spreadsheet program shows it. Checks that need another
sheet stand on the live sheets and in the check command.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from template_builder.files.look import DATE_FORMAT, DAY_ALONE, DONE, GRID, HINT, LITTER, SMALL, TODAY, Style
from template_builder.files.writer import Page
from template_builder.layout.addresses import letters
from template_builder.layout.choices import Belly, Born, Help, LambingTrouble, LambLeft, NextDay, Prolapse, RearedBy, Taken, Teats
from template_builder.layout.columns import NOT_KNOWN, ROW_KEY
from template_builder.layout.sheets.lambing import LAMBED
from template_builder.layout.sides import A_SIDE_DRY
from template_builder.layout.whole import FIRST_ROW, KEY_ROW

Number = Callable[[str], float]  # a setting's value by its id


class Mirror(NamedTuple):
    """A limit written into the hidden row of a sheet, worked out from the settings when the workbook is built."""

    id: str
    value: Callable[[Number], float]


class Hint(NamedTuple):
    """Mark the cells of `marks` where `when` holds.

    In `when` a column stands as {column}, a mirrored limit as {limit: id}, all cells of the row beyond those a row is
    issued with as {written}.
    """

    marks: tuple[str, ...]
    when: str
    says: str


class RowLook(NamedTuple):
    """How a whole row looks where `when` holds, written as in a hint; the first that holds counts, after the hints."""

    when: str
    style: Style
    says: str


_GESTATION_EARLY = Mirror("days early", lambda setting: setting("gestation") - setting("gestation_least"))
_LIGHTEST = Mirror("lightest", lambda setting: min(setting(f"{litter}_least") for litter in ("single", "twin", "triplet")))
_HEAVIEST = Mirror("heaviest", lambda setting: max(setting(f"{litter}_most") for litter in ("single", "twin", "triplet")))

MIRRORS: Mapping[str, tuple[Mirror, ...]] = {"lambing": (_GESTATION_EARLY,), "lambs": (_LIGHTEST, _HEAVIEST)}


def _other_than(column: str, fine: Teats | Prolapse | NextDay) -> str:
    return f'AND({{{column}}}<>"",{{{column}}}<>"{NOT_KNOWN.value}",{{{column}}}<>"{fine.label}")'


_MUCH_HELP = ",".join(f'{{help}}="{help.label}"' for help in (Help.HARD, Help.VET, Help.CAESAREAN))
_CALL_VET = ",".join(
    f'{{trouble}}="{word.label}"' for word in (LambingTrouble.PROLAPSE, LambingTrouble.NOT_OPEN, LambingTrouble.ABORTED))

HINTS: Mapping[str, tuple[Hint, ...]] = {
    "ewes": (
        Hint(("scanned",), 'AND({ewe}<>"",{scanned}="")', "Not scanned: write how many, 0 for empty, or ? for not known."),
    ),
    "lambing": (
        Hint(("sides_in_milk",), A_SIDE_DRY.formula("{sides_in_milk}"), "Short of milk: see that her lambs are fed."),
        Hint(("sides_next_day",), A_SIDE_DRY.formula("{sides_next_day}"), "Short of milk on the next day."),
        Hint(("teats",), _other_than("teats", Teats.SOUND), "Teats not sound: see that both lambs get hold."),
        Hint(("prolapse",), _other_than("prolapse", Prolapse.NONE), "Prolapse: call your vet."),
        Hint(("trouble",), f"OR({_CALL_VET})", "Call your vet."),
        Hint(("why_helped",), f'AND(OR({_MUCH_HELP}),{{why_helped}}="")', "Helped a good deal: write why."),
        Hint(("next_day",), _other_than("next_day", NextDay.ALL_FULL), "Not all well on the next day: look again."),
        Hint(("lambed_on",), "AND(ISNUMBER({lambed_on}),ISNUMBER({due}),{lambed_on}<{due}-{limit: days early})",
             "Before the earliest day for her due date: check both dates."),
        Hint(("finished",), 'AND({waters_seen}<>"",{finished}="")', "Waters seen, not finished: is she lambing now?"),
        Hint(("ewe",), 'AND({ewe}="",{written}>0)', "Filled in, but no ewe."),
    ),
    "lambs": (
        Hint(("born",), 'AND({born}="",{written}>0)', "Filled in, but not how it was born: counts as alive."),
        Hint(("birth_weight",),
             "AND(ISNUMBER({birth_weight}),OR({birth_weight}<{limit: lightest},{birth_weight}>{limit: heaviest}))",
             "Lighter or heavier than expected in any litter: check the weight."),
        Hint(("belly",), f'{{belly}}="{Belly.HOLLOW.label}"', "Hollow: look again."),
        Hint(("taken",), f'{{taken}}="{Taken.REFUSED.label}"', "Refused: who rears it?"),
        Hint(("foster_ewe",), f'AND({{reared_by}}="{RearedBy.FOSTER_EWE.label}",{{foster_ewe}}="")', "Set on, but to which ewe?"),
        Hint(("left_how",), 'AND({left_on}<>"",{left_how}="")', "Left, but how?"),
        Hint(("cause",), f'AND({{left_how}}="{LambLeft.DIED.label}",{{cause}}="")', "Died: write the cause, or ? for not known."),
        Hint(("left_on",), f'AND({{born}}<>"",{{born}}<>"{Born.ALIVE.label}",{{left_on}}<>"")',
             "A lamb born dead cannot leave later: clear this, or correct how it was born."),
    ),
    "treatments": (
        Hint(("withdrawal",), 'AND({date}<>"",{withdrawal}="")', "Withdrawal not known: do not send the animal."),
    ),
}

ROW_LOOKS: Mapping[str, tuple[RowLook, ...]] = {
    "lambing": (
        RowLook(f"COUNTA({','.join(f'{{{id}}}' for id in LAMBED)})>0", DONE, "Grey: she has lambed."),
        RowLook("AND(ISNUMBER({due}),{due}=TODAY())", TODAY, "Shaded, in bold type: due today."),
    ),
    "lambs": (RowLook("{lamb_no}=1", LITTER, "A line above: here the next litter begins."),),
}

_PLACE = re.compile(r"\{(limit: )?([a-z_ ]+)\}")


class Grid(NamedTuple):
    """Where things stand on a sheet: the number of each column, those the build fills in, those with a day and an hour, the
    last row and last column."""

    places: Mapping[str, int]
    issued: frozenset[str]
    moments: frozenset[str]
    last_row: int
    last_column: int


def mark(page: Page, sheet: str, grid: Grid, setting: Number) -> None:
    """Write the looks of a sheet as conditional formats, and the limits they look at into its hidden row.

    Of several that hold some programs show the first alone: hints stand first, the lines round all cells last, and a day
    without an hour looks as the rest of its row.
    """
    for mirror, number in _mirrors(sheet, grid):
        page.number(KEY_ROW, number, mirror.value(setting), SMALL)
    look = page.book.format(HINT)
    for column, formula in rules(sheet, grid):
        number = grid.places[column]
        page.condition((FIRST_ROW, number), (grid.last_row, number), {"type": "formula", "criteria": formula, "format": look})
    for (first, last), formula, style in looks(sheet, grid):
        page.condition((FIRST_ROW, first), (grid.last_row, last),
                       {"type": "formula", "criteria": formula, "format": page.book.format(style)})


def rules(sheet: str, grid: Grid) -> Iterator[tuple[str, str]]:
    """Each marked column with its formula, as written for the first row of the sheet."""
    for hint in HINTS.get(sheet, ()):
        formula = _formula(hint.when, sheet, grid)
        yield from ((column, formula) for column in hint.marks)


def row_rules(sheet: str, grid: Grid) -> Iterator[tuple[str, Style]]:
    """Each look of whole rows with its formula, as written for the first row of the sheet."""
    yield from ((_formula(row.when, sheet, grid), row.style) for row in ROW_LOOKS.get(sheet, ()))


def looks(sheet: str, grid: Grid) -> Iterator[tuple[tuple[int, int], str, Style]]:
    """How rows look, each with its first and last column: first the days without an hour in them, then whole rows."""
    whole = [*row_rules(sheet, grid), ("=TRUE", GRID)]
    for number in sorted(grid.places[id] for id in grid.moments):
        alone = DAY_ALONE.format(cell=f"${letters(number)}{FIRST_ROW}")
        for formula, style in whole:
            yield (number, number), f"=AND({alone},{formula.removeprefix('=')})", style.with_(number_format=DATE_FORMAT)
    yield from (((1, grid.last_column), formula, style) for formula, style in whole)


def _formula(when: str, sheet: str, grid: Grid) -> str:
    mirrored = {mirror.id: f"${letters(number)}${KEY_ROW}" for mirror, number in _mirrors(sheet, grid)}
    cells = {column: f"${letters(number)}{FIRST_ROW}" for column, number in grid.places.items()}
    typed = sorted(number for column, number in grid.places.items() if column not in grid.issued | {ROW_KEY.id})

    def place(found: re.Match[str]) -> str:
        if found[1]:
            return mirrored[found[2]]
        return _written(typed) if found[2] == "written" else cells[found[2]]

    return "=" + _PLACE.sub(place, when)


def _mirrors(sheet: str, grid: Grid) -> list[tuple[Mirror, int]]:
    """The limits of a sheet, each with its column in the hidden row, right of everything else."""
    return [(mirror, grid.last_column + number) for number, mirror in enumerate(MIRRORS.get(sheet, ()), start=1)]


def _written(columns: list[int]) -> str:
    """How many of these cells of the first row are filled, neighbours counted together: COUNTA(D4:F4,H4:AB4)."""
    runs: list[list[int]] = []
    for number in columns:
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return "COUNTA(" + ",".join(f"${letters(first)}{FIRST_ROW}:${letters(last)}{FIRST_ROW}" for first, last in runs) + ")"
