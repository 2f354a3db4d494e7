"""Where the ewes stand on a page: one block under headings, blocks side by side or below one another, or no headings at all."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from template_builder.scan.cells import Cell, damaged, fold, is_a_count, is_count_word, text_of
from template_builder.scan.columns import LEAST_CLASSES, squash
from template_builder.scan.headings import (
    HEADINGS_WITHIN,
    NOT_USED,
    Headings,
    HeadingUse,
    class_of,
    ewe_heading,
    find_headings,
    settle_ewes,
)
from template_builder.scan.numbers import electronic
from template_builder.scan.pages import Line, Page

LEAST_LINES = 3  # so many lines tell what a column without a heading holds
MOSTLY = 0.8  # so much of a column must look alike
LISTED, BY_SIGHT = "numbers listed under it", "judged by its cells, there is no heading"


class Block(NamedTuple):
    """Lines with one set of headings."""

    page: Page
    headings: Headings


class Blocks(NamedTuple):
    """The blocks of a page, how they stand in a few words, and what was taken for granted."""

    blocks: tuple[Block, ...] = ()
    shape: str = ""
    notes: tuple[str, ...] = ()


def find_blocks(page: Page, given: Mapping[str, str]) -> Blocks:
    """Find every block of ewes on a page; none where it holds no list by ewe."""
    headings = find_headings(page.lines, given)
    if headings is None:
        return _listed_under(page) or _without_headings(page, given) or Blocks()
    if not headings.own_line:
        note = f"{page.unit} {page.lines[headings.at].number}: the headings given are those of a ewe, so she was read as one"
        return Blocks((Block(page, headings),), notes=(note,))
    sections = _sections(page, headings, given)
    blocks = tuple(block for section in sections for block in _side_by_side(section, given))
    aside = f"{len(blocks)} blocks side by side" if len(blocks) > len(sections) else ""
    under = f"{len(sections)} blocks below one another" if len(sections) > 1 else ""
    shape = " and ".join(filter(None, (aside, under)))
    return Blocks(blocks, shape, (f"the list stands in {shape}, all of them read",) if shape else ())


def _sections(page: Page, headings: Headings, given: Mapping[str, str]) -> list[Page]:
    """Cut a page where other headings begin further down; the same headings again are set aside when rows are read."""
    starts, current = [0], [fold(text_of(cell)) for cell in page.lines[headings.at].cells]
    for at in range(headings.at + 1, len(page.lines)):
        texts = [text_of(cell) for cell in page.lines[at].cells]
        ours = [fold(text) for text in texts]
        if any(map(ewe_heading, texts)) and ours != current and settle_ewes(at, texts, given).by_ewe and not any(
            any(map(str.isdigit, text)) for text in texts
        ):
            starts.append(at)
            current = ours
    return [replace(page, lines=page.lines[start:end], notes=page.notes if start == 0 else ())
            for start, end in zip(starts, [*starts[1:], len(page.lines)], strict=True)]


def _side_by_side(page: Page, given: Mapping[str, str]) -> list[Block]:
    """The blocks of a section, one where it is not repeated to the right."""
    headings = find_headings(page.lines, given)
    if headings is None:
        return []
    texts = [text_of(cell) for cell in page.lines[headings.at].cells]
    wide = max(len(line.cells) for line in page.lines)
    hers = headings.places["ewe"]
    again = [at for at, text in enumerate(texts) if at == hers or squash(text) == squash(texts[hers])]
    others = [at for at, text in enumerate(texts) if at == hers or ewe_heading(text)]
    for ewes, before in ((found, before) for found in (again, others) for before in range(found[0], -1, -1)):
        starts = [at - before for at in ewes]
        cuts = list(zip(starts, [*starts[1:], wide], strict=True))
        shared = starts[0]
        cut = [settle_ewes(headings.at, texts[:shared] + texts[start:end], given) for start, end in cuts]
        if len(cut) > 1 and all(block.by_ewe for block in cut):
            return [Block(_columns_of(page, headings.at, shared, start, end), block)
                    for (start, end), block in zip(cuts, cut, strict=True)]
    return [Block(page, headings)]


def _columns_of(page: Page, at: int, shared: int, start: int, end: int) -> Page:
    """Some columns of a page after those all blocks share on the left.

    Lines with nothing there are left out, except the headings and what stands above them; the first block keeps all lines.
    """
    lines = []
    for index, line in enumerate(page.lines):
        own = line.cells[start:end]
        cells = (*line.cells[:shared], *([None] * (shared - len(line.cells))), *own)
        if index < at:
            lines.append(line)
        elif index == at or any(map(text_of, own)) or (start == shared and not any(map(text_of, line.cells[shared:]))):
            lines.append(Line(line.number, cells, ", ".join(map(text_of, cells)).rstrip(", ")))
    return replace(page, lines=tuple(lines), notes=page.notes if start == shared else ())


def _listed_under(page: Page) -> Blocks | None:
    """Numbers of ewes listed under Empty, Single, Twins: each cell is a ewe."""
    for at, line in enumerate(page.lines[:HEADINGS_WITHIN]):
        texts = [text_of(cell) for cell in line.cells]
        classes = {place: lambs for place, text in enumerate(texts) if text and (lambs := class_of(text)) is not None}
        filled = sum(map(bool, texts))
        below = page.lines[at + 1 :]
        if len(classes) >= LEAST_CLASSES and len(classes) == filled and len(set(classes.values())) == filled and len(below) > 1:
            return _each_cell_a_ewe(page, at, classes, texts)
    return None


def _each_cell_a_ewe(page: Page, at: int, classes: Mapping[int, int], texts: Sequence[str]) -> Blocks:
    heading = page.lines[at]
    lines = [*page.lines[:at], Line(heading.number, ("Ewe", "Scanned"), heading.text)]
    notes = []
    above = dict.fromkeys(classes, 0)
    for line in page.lines[at + 1 :]:
        filled = {place: text_of(cell) for place, cell in enumerate(line.cells) if text_of(cell)}
        if all(text == str(above.get(place)) for place, text in filled.items()):
            notes.append(f"{page.unit} {line.number}: taken as a totals row, not ewes ({line.text})")
            continue
        for place, text in filled.items():
            said = f"{texts[place]}: {text}" if place in classes else f"{text}, under no heading"
            lines.append(Line(line.number, (line.cells[place], classes.get(place)), said))
            above[place] = above.get(place, 0) + 1
    uses = tuple(HeadingUse(texts[place], "scanned", LISTED) for place in classes)
    return Blocks((Block(replace(page, lines=tuple(lines)), Headings(at, {"ewe": 0, "scanned": 1}, uses, ())),),
                  f"{len(classes)} lists, one for each count", tuple(notes))


def _without_headings(page: Page, given: Mapping[str, str]) -> Blocks | None:
    """A list without a heading row, known by what its columns hold: one of counts, one of numbers that differ."""
    lines = page.lines
    first = next((at for at, line in enumerate(lines) if sum(bool(text_of(cell)) for cell in line.cells) > 1), None)
    if first is None or len(lines) - first < LEAST_LINES:
        return None
    columns = [[line.cells[place] if place < len(line.cells) else None for line in lines[first:]]
               for place in range(max(len(line.cells) for line in lines))]
    letters = {_letter(place): place for place in range(len(columns))}
    if given and not given.keys() <= letters.keys():
        return None
    counts = [place for place, cells in enumerate(columns) if _holds(cells, is_a_count)]
    numbers = [place for place, cells in enumerate(columns) if place not in counts and _numbers_differ(cells)]
    short = [place for place in numbers if not _holds(columns[place], lambda cell: bool(electronic(text_of(cell))))]
    places = {name: letters[letter] for letter, name in given.items()}
    if not places and len(counts) == 1 and numbers and len(short) < 2:
        places = {"ewe": (short or numbers)[0], "scanned": counts[0]}
        places |= {"official_tag": next(place for place in numbers if place not in short)} if short != numbers else {}
    if not {"ewe", "scanned"} <= places.keys() or not is_a_count(columns[places["scanned"]][0]):
        return None
    names = {place: name for name, place in places.items()}
    uses = tuple(HeadingUse(f"column {letter}", names.get(place), BY_SIGHT if place in names else NOT_USED)
                 for letter, place in letters.items() if any(map(text_of, columns[place])))
    note = (f"the list has no heading row: column {_letter(places['ewe'])} is taken for the ewe's number and column "
            f"{_letter(places['scanned'])} for the count; if that is wrong, say so with --columns \"A=ewe,B=scanned\"")
    return Blocks((Block(page, Headings(first, places, uses, (), own_line=False)),), "no heading row", (note,))


def _letter(place: int) -> str:
    letters = ""
    while place >= 0:
        place, rest = divmod(place, 26)
        letters, place = chr(ord("A") + rest) + letters, place - 1
    return letters


def _holds(cells: Sequence[Cell], what: Callable[[Cell], bool]) -> bool:
    filled = [cell for cell in cells if text_of(cell)]
    return bool(filled) and sum(map(what, filled)) >= MOSTLY * len(filled)


def _numbers_differ(cells: Sequence[Cell]) -> bool:
    texts = [text_of(cell) for cell in cells if text_of(cell)]
    numbers = [text for cell, text in zip(cells, texts, strict=False) if any(map(str.isdigit, text))
               and not is_count_word(text) and damaged(cell) is None]
    return len(numbers) >= MOSTLY * len(cells) and len(set(numbers)) >= MOSTLY * len(texts)
