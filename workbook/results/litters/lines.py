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
    Line("scanned", "Lambs scanned", "lambs seen at scanning in all ewes",
         ("born_scanned", "aborted_scanned", "lost_with_ewe", "fewer", "never_lambed", "to_lamb")),
    Line("born_scanned", "born, as scanned", "scanned lambs that were born, alive or dead"),
    Line("aborted_scanned", "aborted or mummified", "scanned lambs aborted or mummified"),
    Line("lost_with_ewe", "lost with the ewe", "scanned lambs of ewes that died or left before lambing"),
    Line("fewer", "fewer born than scanned", "scanned lambs of ewes that lambed, neither born nor aborted"),
    Line("never_lambed", "never lambed", "scanned lambs of ewes past their last possible day that have not lambed"),
    Line("to_lamb", "still to lamb", "scanned lambs of ewes that may still lamb"),
    Line("born", "Lambs born", "lambs born alive or dead; mummified and aborted lambs are not born",
         ("born_scanned", "more_than_scanned", "born_unscanned")),
    Line("more_than_scanned", "more than scanned", "lambs born beyond the number scanned"),
    Line("born_unscanned", "of ewes not scanned", "lambs of ewes that were not scanned, or whose mother is not known"),
    Line("born_alive", "Born alive", "lambs that breathed, however briefly", ("died", "sold", "missing", "short", "present")),
    Line("born_dead", "Born dead", "lambs born dead, fresh or decayed"),
    Line("died", "died", "live-born lambs that died"),
    Line("sold", "sold alive", "live-born lambs sold or given away"),
    Line("missing", "missing", "live-born lambs written down as missing"),
    Line("short", "short at the last count", "live-born lambs not there at the last count; below 0, more were there"),
    Line("present", "present", "live-born lambs still here", ("own_ewe", "foster_ewe", "pet", "no_ewe")),
    Line("own_ewe", "with their own ewe", "present lambs with the ewe that bore them"),
    Line("foster_ewe", "with a foster ewe", "present lambs set on to another ewe"),
    Line("pet", "pets on the bottle", "present lambs reared by hand"),
    Line("no_ewe", "without a ewe", "present lambs with no ewe and no bottle, or whose ewe is gone"),
    Line("set_on", "Lambs set on", "lambs now with a ewe that did not bear them", ("set_on_home", "set_on_bought")),
    Line("set_on_home", "home-born", "lambs born here and now with another ewe"),
    Line("set_on_bought", "bought in", "bought lambs now with a ewe"),
    Line("known", "Known lambs", "all lambs the flock is known to have carried",
         ("scanned", "more_than_scanned", "born_unscanned")),
    Line("aborted_beyond_scan", "aborted beyond the scan", "lambs aborted or mummified beyond the number scanned"),
    Line("bought_in", "bought in", "lambs bought or given, not born here"),
    Line("present_seen", "present, and seen", "present lambs weighed, counted or ticked at a stage"),
)

LINE = {line.id: line for line in LINES}

# born = born_alive + born_dead is a second way of splitting born.
SECOND_SUMS: tuple[tuple[str, tuple[str, ...]], ...] = (("born", ("born_alive", "born_dead")),)

NOT_SCANNED, BOUGHT_IN, COUNT, ALL = "not scanned", "bought in", "count", "all"
