"""The words people write for a number of lambs, in scanning lists and on the sheets alike."""

import re
from collections.abc import Mapping

from template_builder.layout.spellings import folded

MOST_LAMBS = 8  # litters of six occur; above this a slip of the finger is likelier (house rule)

COUNT_WORDS: Mapping[int, str] = {
    0: "empty, empties, barren, geld, eild, yeld, dry, open, not in lamb, nil, mt, e, none, zero, no lambs",
    1: "single, singles, sgl, sing, s, one",
    2: "twin, twins, tw, two, double, doubles, dbl, pair",
    3: "triplet, triplets, trip, trips, tr, three",
    4: "quad, quads, quadruplet, quadruplets, four",
    5: "quin, quins, quintuplet, quintuplets, five",
    6: "sextuplet, sextuplets, six",
    7: "seven",
    8: "eight",
}
DOUBTS: Mapping[str, str] = {
    "t": "may be twins or triplets; write 2 or 3",
    "multiple, multiples, multi, m": "says more than one but not how many; write the count",
}
_COUNT_OF = {folded(word): count for count, words in COUNT_WORDS.items() for word in words.split(", ")}
_DOUBT_OF = {folded(word): doubt for words, doubt in DOUBTS.items() for word in words.split(", ")}
_LAMBS_AFTER_WORD = re.compile(r"lambs?$")


def count_of(text: str) -> int | None:
    """The lambs that a word stands for, such as 2 for "Tw."; None for any other."""
    word = folded(text)
    return _COUNT_OF.get(word, _COUNT_OF.get(_LAMBS_AFTER_WORD.sub("", word)))


def doubt_of(text: str) -> str:
    """Why a word for a number of lambs is not enough, and what to write; "" for any other."""
    return _DOUBT_OF.get(folded(text), "")
