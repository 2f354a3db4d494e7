"""The counts of a list, judged together: a column of counts, ticks under Empty, Single, Twin, or yes and no for in lamb."""

from collections.abc import Sequence
from typing import NamedTuple

from template_builder.scan.cells import Cell, Refused, damaged, fold, is_a_count, read_count, text_of, ticked, yes_or_no
from template_builder.scan.headings import RECOGNISED, Headings, HeadingUse, count_heading
from template_builder.scan.pages import Line

Count = int | None | Refused

_TWINS_OR_TRIPLETS = "t"
_TRIPLET_WORDS = frozenset({"tr", "trip", "trips", "triplet", "triplets"})  # beside these a T is a twin
_TWIN_WORDS = frozenset({"tw", "twin", "twins", "d", "double", "doubles"})  # beside these it is a triplet


class CountColumn(NamedTuple):
    """The count of each line, and what was taken for granted."""

    values: tuple[Count, ...]
    notes: tuple[str, ...] = ()


def choose_counts(lines: Sequence[Line], texts: Sequence[str], headings: Headings) -> Headings:
    """Take another column for the counts where the first says only yes and no: that one tells whether she was scanned."""
    place = headings.places.get("scanned")
    cells = [_cell(line, place) for line in lines]
    said = [text_of(cell) for cell in cells if text_of(cell)]
    if place is None or not said or any(yes_or_no(text) is None or isinstance(read_count(text), int) for text in said):
        return headings
    other = next((at for at, text in enumerate(texts) if at != place and count_heading(text) and any(
        is_a_count(_cell(line, at)) for line in lines)), None)
    if other is None:
        return headings
    filled = [at for at, text in enumerate(texts) if text]
    hows = {place: "scanned or not", other: RECOGNISED}
    uses = tuple(HeadingUse(use.heading, "scanned", hows[at]) if at in hows else use
                 for at, use in zip(filled, headings.uses, strict=True))
    notes = tuple(note for note in headings.notes if not note.startswith(f"“{texts[other]}” is not used"))
    return headings._replace(places={**headings.places, "scanned": other}, was_scanned=place, uses=uses, notes=notes)


def judge_counts(lines: Sequence[Line], headings: Headings) -> CountColumn:
    """The lambs of each line, from whatever columns the list has for them."""
    written = {fold(text_of(_cell(line, headings.places.get("scanned")))).rstrip(".") for line in lines}
    t_means = _meaning_of_t(written)
    values = tuple(_with_yes_or_no(_written(line, headings, t_means), line, headings) for line in lines)
    notes = [f"“T” is taken for {t_means}, because the list has another word for {5 - t_means}"] if t_means else []
    return CountColumn(values, tuple(notes))


def _cell(line: Line, place: int | None) -> Cell:
    return line.cells[place] if place is not None and place < len(line.cells) else None


def _meaning_of_t(words: set[str]) -> int | None:
    """T is twins where triplets are written otherwise, and the other way round; else nobody can tell."""
    twins, triplets = bool(words & _TWIN_WORDS), bool(words & _TRIPLET_WORDS)
    if _TWINS_OR_TRIPLETS not in words or twins == triplets:
        return None
    return 3 if twins else 2


def _written(line: Line, headings: Headings, t_means: int | None) -> Count:
    if headings.classes:
        return _from_ticks(line, headings)
    cell = _cell(line, headings.places.get("scanned"))
    if t_means and fold(text_of(cell)).rstrip(".") == _TWINS_OR_TRIPLETS:
        return t_means
    return damaged(cell) or read_count(cell)


def _from_ticks(line: Line, headings: Headings) -> Count:
    chosen = []
    for lambs, place in headings.classes.items():
        cell = _cell(line, place)
        found = damaged(cell) or ticked(cell, lambs)
        if isinstance(found, Refused):
            return found
        chosen += [lambs] * found
    if len(chosen) > 1:
        return Refused(f"she is ticked for {' and for '.join(map(str, sorted(chosen)))}; leave the tick that is right")
    return chosen[0] if chosen else None


def _with_yes_or_no(count: Count, line: Line, headings: Headings) -> Count:
    """What a column for in lamb, or for scanned, adds to a count."""
    if isinstance(count, Refused):
        return count
    in_lamb, text = _answer(line, headings.in_lamb)
    if text and in_lamb is None:
        number = read_count(text)
        if isinstance(number, Refused):
            return number
        in_lamb, count = (number or 0) > 0, number if count is None else count
    if in_lamb is False:
        return Refused(f"“{text}” says empty and the count is {count}; correct the one that is wrong") if count else 0
    if in_lamb and count == 0:
        return Refused(f"“{text}” says in lamb and the count is 0; correct the one that is wrong")
    if in_lamb and count is None:
        return Refused(f"“{text}” says in lamb but not how many; write the count, "
                       "or leave it blank if the lambs were not counted")
    scanned, said = _answer(line, headings.was_scanned)
    if scanned is False and count:
        return Refused(f"“{said}” says she was not scanned and the count is {count}; correct the one that is wrong")
    if scanned and count is None:
        return Refused(f"“{said}” says she was scanned, but no count is written; write the count")
    return None if scanned is False else count


def _answer(line: Line, place: int | None) -> tuple[bool | None, str]:
    cell = _cell(line, place)
    return yes_or_no(cell), text_of(cell)
