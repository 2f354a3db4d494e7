"""Values in the words a person would write."""

from datetime import date, datetime, time

from template_builder.layout.choices import Choice
from template_builder.layout.columns import NOT_KNOWN, Value

EARLIEST_YEAR = 1900  # a spreadsheet has no earlier dates
LONGEST_TEXT = 32_767  # characters that a cell of a spreadsheet holds, as it counts them
LONGEST_QUOTED = 100  # characters of a value that a sentence repeats
CUT_OFF = " … (longer than a cell)"


def counted(text: str) -> int:
    """The characters of a text as a spreadsheet counts them: in units of UTF-16, of which an emoji takes two."""
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def fits(text: str) -> bool:
    """Whether a cell holds the whole text."""
    return 2 * len(text) <= LONGEST_TEXT or counted(text) <= LONGEST_TEXT


def beginning(text: str, characters: int) -> str:
    """The first characters of a text, as a spreadsheet counts them; none is cut in half."""
    return text.encode("utf-16-le", "surrogatepass")[:2 * characters].decode("utf-16-le", "ignore")


def fitting(text: str) -> str:
    """As much of a text as a cell holds, with a word at its end where that is not all."""
    return text if fits(text) else beginning(text, LONGEST_TEXT - len(CUT_OFF)) + CUT_OFF


def so_many(number: int, noun: str) -> str:
    """A number of animals or things in words: "1 ewe", "1,080 ewes"."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def so_many_are(number: int, noun: str, one: str = "is", more: str = "are") -> str:
    """The same with the word that follows it: "1 row is", "3 rows are"."""
    return f"{so_many(number, noun)} {one if number == 1 else more}"


def capital(words: str) -> str:
    """Words with a capital in front, the others as they are."""
    return words[:1].upper() + words[1:]


def sentence(words: str) -> str:
    """Words as a sentence of their own: a capital in front, a full stop behind; none stays none."""
    return f"{capital(words)}." if words else ""


def quoted(text: str) -> str:
    """A value as a sentence repeats it: not endless."""
    return text if len(text) <= LONGEST_QUOTED else f"{text[:LONGEST_QUOTED]}…"


def shown(value: Value) -> str:
    """A value in the words a person would write: dates as 12 Mar 2026, list values by label."""
    match value:
        case None:
            return ""
        case str():
            return value
        case Choice():
            return value.label
        case datetime():
            return f"{value.day} {value:%b %Y %H:%M}"
        case date():
            return f"{value.day} {value:%b %Y}"
        case time():
            return f"{value:%H:%M}"
        case float():
            return f"{value:g}"
        case _ if value is NOT_KNOWN:
            return "?"
        case _:
            return str(value)
