"""The lines of the litter account and the classes they are split by, declared once."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """A line of the account: `parts` are the lines it is the sum of; one that is neither sum nor part stands beside them."""

    id: str
    title: str
    definition: str
    parts: tuple[str, ...] = ()


LINES: tuple[Line, ...] = (
    Line("scanned", "Lambs scanned", "lambs seen at scanning, all ewes",
         ("born_scanned", "aborted_scanned", "lost_with_ewe", "fewer", "never_lambed", "to_lamb")),
    Line("born_scanned", "born, as scanned", "scanned lambs that were born, alive or dead"),
    Line("aborted_scanned", "aborted or mummified", "scanned lambs aborted or mummified"),
    Line("lost_with_ewe", "lost with the ewe", "scanned lambs of ewes that died or left before lambing"),
    Line("fewer", "fewer born than scanned", "scanned lambs of a ewe that lambed, neither born nor aborted"),
    Line("never_lambed", "never lambed", "scanned lambs of ewes past their last possible day"),
    Line("to_lamb", "still to lamb", "scanned lambs of ewes that may still lamb"),
    Line("born", "Lambs born", "alive and dead; mummified and aborted are not born",
         ("born_scanned", "more_than_scanned", "born_unscanned")),
    Line("more_than_scanned", "more than scanned", "born beyond the number scanned"),
    Line("born_unscanned", "of ewes not scanned", "born to ewes not scanned, or mother not known"),
    Line("born_alive", "Born alive", "breathed, however briefly", ("died", "sold", "missing", "short", "present")),
    Line("born_dead", "Born dead", "dead fresh and dead decayed"),
    Line("died", "died", "live-born lambs that died"),
    Line("sold", "sold alive", "sold or given away"),
    Line("missing", "missing", "written down as missing"),
    Line("short", "short at the last count", "not there at the last count; below 0: more there"),
    Line("present", "present", "live-born lambs still here", ("own_ewe", "foster_ewe", "pet", "no_ewe")),
    Line("own_ewe", "with their own ewe", "present, with the ewe that bore them"),
    Line("foster_ewe", "with a foster ewe", "present, set on to another ewe"),
    Line("pet", "pets on the bottle", "present, reared by hand"),
    Line("no_ewe", "without a ewe", "no ewe and no bottle, or their ewe is gone"),
    Line("set_on", "Lambs set on", "now with a ewe not their own", ("set_on_home", "set_on_bought")),
    Line("set_on_home", "home-born", "born here, now with another ewe"),
    Line("set_on_bought", "bought in", "bought lambs now with a ewe"),
    Line("known", "Known lambs", "all the flock is known to have carried",
         ("scanned", "more_than_scanned", "born_unscanned")),
    Line("aborted_beyond_scan", "aborted beyond the scan", "aborted or mummified beyond the scan"),
    Line("bought_in", "bought in", "bought or given, not born here"),
    Line("present_seen", "present, and seen", "present lambs weighed, counted or ticked at a stage"),
)

LINE = {line.id: line for line in LINES}

# born = born_alive + born_dead is a second way of splitting born.
SECOND_SUMS: tuple[tuple[str, tuple[str, ...]], ...] = (("born", ("born_alive", "born_dead")),)

NOT_SCANNED, BOUGHT_IN, COUNT, ALL = "not scanned", "bought in", "count", "all"
