"""Cells as a spreadsheet names them; rows and columns count from 1."""


def letters(column: int) -> str:
    """Column number as letters: 1 is A, 27 is AA."""
    name = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def absolute(row: int, column: int) -> str:
    """A cell as $C$5."""
    return f"${letters(column)}${row}"
