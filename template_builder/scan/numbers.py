"""A ewe's number as farms write it: the electronic number in any of its print forms, and short numbers a program has changed."""

import re

from template_builder.scan.cells import Cell, text_of

# ISO 11784: three digits of country (ISO 3166-1 numeric) or maker (900 to 998), then twelve of the animal.
ELECTRONIC_DIGITS, COUNTRY_DIGITS, FIRST_COUNTRY, LAST_MAKER = 15, 3, 4, 998
# Letters printed on tags in place of the country's digits (ISO 3166-1; UK is printed for GB).
COUNTRIES = {
    "uk": "826", "gb": "826", "ie": "372", "fr": "250", "de": "276", "nl": "528", "be": "056", "es": "724", "it": "380",
    "pt": "620", "no": "578", "se": "752", "dk": "208", "fi": "246", "is": "352", "at": "040", "ch": "756", "pl": "616",
    "nz": "554", "au": "036", "us": "840", "ca": "124", "za": "710",
}
_BETWEEN = re.compile(r"[\s,.'’-]+")
_LETTERS = re.compile(r"([a-z]{2})0?(\d{12})")
_DECIMALS = re.compile(r"(\d+)[.,]0{1,2}")
_THOUSANDS = re.compile(r"\d{1,3}(?:[,.]\d{3})+")


def electronic(text: str) -> str | None:
    """The 15 digits of an electronic number, whatever stands between them; None for any other number."""
    bare = _BETWEEN.sub("", text.casefold())
    if lettered := _LETTERS.fullmatch(bare):
        country = COUNTRIES.get(lettered[1])
        return country + lettered[2] if country else None
    if bare[:2] in COUNTRIES and bare[2:].isdecimal():
        bare = bare[2:]
    bare = bare[1:] if len(bare) == ELECTRONIC_DIGITS + 1 and bare.startswith("0") else bare
    if not (len(bare) == ELECTRONIC_DIGITS and bare.isascii() and bare.isdecimal()):
        return None
    return bare if FIRST_COUNTRY <= int(bare[:COUNTRY_DIGITS]) <= LAST_MAKER else None


def ewe_key(ewe: str) -> str:
    """Make identifiers comparable: spaces, capitals and the print form of an electronic number do not tell two ewes apart."""
    return electronic(ewe) or "".join(ewe.casefold().split())


def plain(text: str) -> str:
    """A number without the decimals a program added: 101.0 is 101; the print form of an electronic number joined."""
    if found := _DECIMALS.fullmatch(text):
        return found[1]
    joined = electronic(text)
    return joined if joined and not any(map(str.isalpha, text)) and "".join(filter(str.isdecimal, text)) == joined else text


def with_thousands(cell: Cell) -> bool:
    """Whether a number has a comma or point in it as in 1,042, which may be one number or two."""
    text = text_of(cell)
    return bool(_THOUSANDS.fullmatch(text)) and electronic(text) is None
