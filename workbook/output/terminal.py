"""Words on a terminal that lacks some signs: what it cannot show is written with what it has, and nothing stops for it."""

import codecs
import sys
from io import TextIOWrapper

PLAIN_SIGNS = {
    "\u2018": "'", "\u2019": "'", "\u201a": "'", "\u201c": '"', "\u201d": '"', "\u201e": '"', "\u2190": "<-", "\u2192": "->",
    "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u2026": "...", "\u00d7": "x",
    "\u2264": "<=", "\u2265": ">=", "\u00a0": " ", "\u202f": " ",
}
UNKNOWN_SIGN = "?"
_HANDLER = "plain-signs"


def plain(error: UnicodeError) -> tuple[str, int]:
    """Plain signs for those a terminal lacks, as `codecs` asks for them: where it stopped, and where to go on."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start:error.end]
    return "".join(PLAIN_SIGNS.get(sign, UNKNOWN_SIGN) for sign in lacking), error.end


def show_what_it_can() -> None:
    """Let this process's output and messages use plain signs for those the terminal lacks."""
    codecs.register_error(_HANDLER, plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=_HANDLER)
