"""Which cells of a stored worksheet have a list to choose from; it stands after the cells, so only that is read."""

from xml.parsers import expat

CELLS_END = b"sheetData>"
MOST_AREAS = 10_000  # of one sheet; nobody takes lists apart into more


def list_areas(data: bytes) -> tuple[str, ...] | None:
    """The ranges of a worksheet that have a list to choose from, from the bytes of its part; None where that is not known.

    Validations of newer programs, which hold their ranges as a text of their own, count like the others.
    """
    cells_end = data.rfind(CELLS_END)
    root_start = data.rfind(b"</")
    if cells_end < 0 or root_start < cells_end:
        return None
    found: list[str] = []
    pieces: list[str] = []
    is_list = False

    def add(written: str) -> None:
        if len(found) <= MOST_AREAS:
            found.extend(written.split(maxsplit=MOST_AREAS))

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal is_list
        if tag.rpartition(":")[2] == "dataValidation":
            is_list = attributes.get("type") == "list"
            if is_list:
                add(attributes.get("sqref", ""))
        pieces.clear()

    def end(tag: str) -> None:
        if is_list and tag.rpartition(":")[2] == "sqref":
            add("".join(pieces))

    parser = expat.ParserCreate()
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = start, end, pieces.append
    root = data[root_start + 2:].partition(b">")[0]
    try:
        parser.Parse(b"<" + root + b">" + data[cells_end + len(CELLS_END):], True)
    except expat.ExpatError:
        return None
    return tuple(found) if len(found) <= MOST_AREAS else None
