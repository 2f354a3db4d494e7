"""Groups known by counts only, taken into the flock's figures where numerator and denominator are both known for them."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from workbook.results.litters.figure import Denominator, Figure, Numerator, per, share
from workbook.results.litters.group_account import GroupAccount

Number = Callable[[GroupAccount], int | None]


@dataclass(frozen=True)
class Taken:
    """How a group enters a figure: what is added above and below the line, and in words what that is.

    `share` says that the figure is a share with an interval; `scale` is 100 for per cent.
    """

    counted: Number
    of: Number
    words: str
    share: bool = False
    scale: float = 100.0


def _line(id: str) -> Number:
    return lambda group: group.lines[id]


def _in_lamb(group: GroupAccount) -> int | None:
    return None if group.scan is None else group.scan.in_lamb


TAKEN: Mapping[str, Taken] = {
    "scanning_pct_ram": Taken(_line("scanned"), _line("ewes_to_ram"), "lambs by tally"),
    "scanning_pct_scanned": Taken(_line("scanned"), _line("ewes_scanned"), "lambs by tally"),
    "litter_scanned": Taken(_line("scanned"), _in_lamb, "lambs by tally", scale=1),
    "empty_pct": Taken(_line("ewes_empty"), _line("ewes_scanned"), "ewes by tally", share=True),
    "reared_pct": Taken(_line("weaned"), _line("ewes_to_ram"), "lambs counted at weaning"),
    "total_loss_pct": Taken(lambda group: group.lost, lambda group: group.known,
                            "lambs lost between scan and counts, out of those scanned, or counted beyond the scan,", share=True),
}


def with_groups(figures: Iterable[Figure], accounts: Iterable[GroupAccount], *, has_book: bool) -> tuple[Figure, ...]:
    """The figures with every group known by counts only either taken in or named as left out.

    `has_book` says whether any ewe is recorded by herself; without one the groups are all there is, and lambs tagged
    without a mother are among those counted there.
    """
    by_count = [account for account in accounts if account.by_count]
    return tuple(_with(figure, by_count, has_book) for figure in figures) if by_count else tuple(figures)


def _with(figure: Figure, groups: list[GroupAccount], has_book: bool) -> Figure:
    how = TAKEN.get(figure.id)
    if how is None or (has_book and figure.denominator is None):
        without = f"Without {_names(groups)} (known by counts only)."
        return replace(figure, definition=f"{figure.definition} {without}", without=without)
    able = [(group, counted, of) for group in groups
            if (counted := how.counted(group)) is not None and (of := how.of(group)) is not None]
    if not able:
        return replace(figure, definition=f"{figure.definition} Not known, and left out, for {_names(groups)}.")
    above, below, rows = (figure.numerator or 0, figure.denominator or 0, figure.rows) if has_book else (0, 0, ())
    taken, counts, ofs = zip(*able, strict=True)
    top = Numerator(above + sum(counts), figure.label, (*rows, *(group.place for group in taken)), figure.above)
    bottom = Denominator(below + sum(ofs), "", counts=figure.below)
    new = share(figure.id, figure.label, top, bottom, figure.effect) if how.share else per(
        figure.id, figure.label, top, bottom, figure.unit, how.scale)
    return replace(new, so_far=figure.so_far, definition=_definition(figure, how, groups, taken))


def _definition(figure: Figure, how: Taken, groups: Iterable[GroupAccount], taken: Collection[GroupAccount]) -> str:
    """The flock's own words, then which groups are in and which are not."""
    left_out = [group for group in groups if group not in taken]
    without = f" Not known, and left out, for {_names(left_out)}." if left_out else ""
    return f"{figure.definition} With {how.words} in {_names(taken)}.{without}"


def _names(groups: Iterable[GroupAccount]) -> str:
    return ", ".join(group.group for group in groups)
