"""Which column names the ewes: the short number people use, before the electronic number that machines read."""

from collections.abc import Sequence
from typing import NamedTuple

from template_builder.scan.blocks import MOSTLY, Block
from template_builder.scan.cells import Cell, text_of
from template_builder.scan.columns import squash
from template_builder.scan.counts import choose_counts
from template_builder.scan.headings import GIVEN, NOT_USED, RECOGNISED, Headings, HeadingUse, ewe_heading
from template_builder.scan.numbers import electronic, plain, with_thousands

LONGEST_SHORT = 8  # characters; numbers people call out at the race are no longer (house rule)
LEAST_EWES = 2


class Identity(NamedTuple):
    """The headings with the ewe's number settled, what was taken for granted, and what is asked."""

    headings: Headings
    notes: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()


def judge_identity(block: Block) -> Identity:
    """Take the short number for the ewe where her column holds electronic numbers, and keep those as the official tag."""
    lines = block.page.lines[block.headings.at + block.headings.own_line :]
    texts = [text_of(cell) for cell in block.page.lines[block.headings.at].cells] if block.headings.own_line else []
    headings = choose_counts(lines, texts, block.headings) if texts else block.headings

    def column(place: int) -> list[Cell]:
        return [line.cells[place] if place < len(line.cells) else None for line in lines]

    at = headings.places["ewe"]
    numbers = column(at)
    asked = _thousands(numbers)
    if not texts or not _electronic(numbers):
        return Identity(headings, questions=asked + _running_number(headings, texts[at] if texts else "", numbers))
    places = dict(headings.places)
    places.setdefault("official_tag", at)
    free = [place for place, text in enumerate(texts) if text and place not in headings.places.values()
            and place not in headings.classes.values() and _short_and_distinct(column(place))]
    known = [place for place in free if ewe_heading(texts[place])]
    if len(known) == 1:
        places["ewe"] = known[0]
        note = f"the number is from “{texts[known[0]]}”; the electronic number in “{texts[at]}” is kept as the official tag"
        told = tuple(said for said in headings.notes if not said.startswith(f"“{texts[known[0]]}”") and "serves as" not in said)
        return Identity(headings._replace(places=places, uses=_uses(texts, places, headings), notes=told), (note,), asked)
    if free:
        names = " or ".join(f"“{texts[place]}”" for place in free)
        example = f'--columns "{texts[free[0]]}=ewe,{texts[at]}=official_tag"'
        asked += (f"the ewes go by the electronic number in “{texts[at]}”, but {names} has a short number for each: if people "
                  f"use that one, give {example}; else give --columns \"{texts[at]}=ewe\"",)
        if any(use.how == GIVEN and use.column == "ewe" for use in headings.uses):
            asked = _thousands(numbers)
    note = f"the ewes go by the electronic number in “{texts[at]}”, which is kept as the official tag too"
    return Identity(headings._replace(places=places), (note,), asked)


def _running_number(headings: Headings, heading: str, numbers: Sequence[Cell]) -> tuple[str, ...]:
    """Ask where the number may only count the rows of a reader: 1, 2, 3 under "ID", with the electronic number beside."""
    given = any(use.how == GIVEN and use.column == "ewe" for use in headings.uses)
    if squash(heading) != "id" or given or "official_tag" not in headings.places or not _runs([*map(text_of, numbers)]):
        return ()
    return (f"“{heading}” only counts the rows, 1, 2, 3: if the ewes go by another number, give its heading in --columns "
            f"\"Their heading=ewe\"; if these are their numbers, give --columns \"{heading}=ewe\"",)


def _runs(texts: Sequence[str]) -> bool:
    return len(texts) >= LEAST_EWES and list(texts) == [str(number) for number in range(1, len(texts) + 1)]


def _uses(texts: Sequence[str], places: dict[str, int], headings: Headings) -> tuple[HeadingUse, ...]:
    names = {place: name for name, place in places.items()}
    filled = [place for place, text in enumerate(texts) if text]
    return tuple(
        HeadingUse(use.heading, names[place], use.how if use.how != NOT_USED else RECOGNISED) if place in names else use
        for place, use in zip(filled, headings.uses, strict=True)
    )


def _electronic(cells: Sequence[Cell]) -> bool:
    filled = [text_of(cell) for cell in cells if text_of(cell)]
    return len(filled) >= LEAST_EWES and sum(map(bool, map(electronic, filled))) >= MOSTLY * len(filled)


def _short_and_distinct(cells: Sequence[Cell]) -> bool:
    """Whether a column has a short number for nearly every ewe, no two alike; a running number of rows is none."""
    texts = [plain(text) for text in map(text_of, cells) if text]
    numbered = [text for text in texts if len(text) <= LONGEST_SHORT and any(map(str.isdigit, text))]
    return not _runs(texts) and len(texts) >= LEAST_EWES and len(set(texts)) == len(texts) and (
        len(numbered) == len(texts) >= MOSTLY * len(cells))


def _thousands(cells: Sequence[Cell]) -> tuple[str, ...]:
    written = [text_of(cell) for cell in cells if with_thousands(cell)]
    if not written:
        return ()
    return (f"{len(written)} ewe numbers have a comma or point in them, such as “{written[0]}”, and are kept as written: "
            "write each as one number, or as the two it is",)
