"""A few ewes, each with something that the demo's season has not, and one night to look at them."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time

from live_cells import LiveRow

from template_builder.layout.choices import (
    Belly,
    Born,
    Colostrum,
    EweLeft,
    Feet,
    Help,
    HowRecorded,
    LambLeft,
    NextDay,
    Prolapse,
    RearedBy,
    Reason,
    Sucked,
    Taken,
    Teats,
    TreatedFor,
    Trouble,
    Udder,
    Vigour,
    WhyMoved,
    YesNo,
)
from template_builder.layout.columns import NOT_KNOWN, Row
from template_builder.layout.laying import lay_ready

Rows = Mapping[str, Sequence[Row]]
NIGHT = datetime(2026, 3, 25, 3, 0)


def day(number: int) -> date:
    return date(2026, 3, number)


def by_name(rows: Sequence[LiveRow], column: str) -> dict[object, LiveRow]:
    """The rows of a live list by what stands in this column, the first of each."""
    return {row[column]: row for row in reversed(rows) if row[column] != ""}


def many_troubles() -> Rows:
    ewes: list[Row] = [
        {"ewe": "0412", "scanned": 2, "due": day(20), "group": "A"}, {"ewe": "412", "scanned": 1, "due": day(28)},
        {"ewe": "A*", "scanned": 3, "group": "A"}, {"ewe": "AB", "scanned": 1, "mated_on": date(2025, 10, 1)},
        {"ewe": "gone", "scanned": 2, "left_on": day(22), "left_how": EweLeft.DIED},
        {"ewe": "counted", "scanned": 1, "group": "C", "due": date(2026, 1, 1)},
        {"ewe": "prolapsed", "scanned": 1}, {"ewe": "womb", "scanned": 1}, {"ewe": "aborted", "scanned": 2},
        {"ewe": "labour", "scanned": 1}, {"ewe": "labour long ago", "scanned": 1}, {"ewe": "by count", "scanned": 2},
        {"ewe": "trouble", "scanned": 1}, {"ewe": "helped", "scanned": 1}, {"ewe": "teats", "scanned": 1, "group": "A"},
        {"ewe": "mastitis", "scanned": 1}, {"ewe": "treated", "scanned": 1, "group": "A"}, {"ewe": "0412"},
        {"ewe": "known only by ?", "scanned": NOT_KNOWN, "due": NOT_KNOWN}, {"ewe": "dry", "scanned": 1},
        {"ewe": "dead inside", "scanned": 2}, {"ewe": "early", "scanned": 1, "mated_on": date(2025, 11, 5)},
        {"ewe": "small", "scanned": 3}, {"ewe": "held", "scanned": 1}, {"ewe": "lame", "scanned": 1},
        {"ewe": "thin", "scanned": 1}, {"ewe": "seen again", "scanned": 1},
    ]
    laid = lay_ready(ewes)
    lambing: dict[str, Row] = {
        "0412": {"lambed_on": day(24), "finished": time(2, 0), "sides_in_milk": 2, "pen": "7"},
        "412": {"lambed_on": day(21), "sides_in_milk": 1, "sides_next_day": 2, "next_day": NextDay.ALL_FULL},
        "A*": {"lambed_on": day(24), "all_well": YesNo.YES}, "gone": {"lambed_on": day(20)},
        "prolapsed": {"lambed_on": day(24), "prolapse": Prolapse.VAGINAL},
        "womb": {"prolapse": Prolapse.WOMB, "lambed_on": day(23)},
        "labour": {"waters_seen": time(0, 30)}, "labour long ago": {"waters_seen": datetime(2026, 3, 24, 9, 0)},
        "by count": {"lambed_on": day(24), "born_alive": 1, "born_dead": 1, "all_well": YesNo.YES},
        "trouble": {"lambed_on": day(24), "next_day": NextDay.TROUBLE},
        "helped": {"lambed_on": day(24), "next_day": NextDay.HELPED},
        "teats": {"lambed_on": day(24), "teats": Teats.LARGE, "help": Help.LIGHT},
        "dry": {"lambed_on": day(24), "sides_in_milk": 1}, "dead inside": {"lambed_on": day(24), "sides_in_milk": 2},
        "early": {"lambed_on": day(24), "all_well": YesNo.YES},
        "small": {"lambed_on": day(24), "colostrum": Colostrum.LITTLE, "sides_in_milk": 2, "mothering": 2},
        "held": {"lambed_on": day(23), "afterbirth": YesNo.NO}, "lame": {"lambed_on": day(22), "teats": Teats.BLOCKED},
        "thin": {"lambed_on": day(22), "condition": 1}, "seen again": {"lambed_on": day(22), "prolapse": Prolapse.VAGINAL},
    }
    lambs: dict[tuple[str, int], Row] = {
        ("0412", 1): {"born": Born.ALIVE, "birth_weight": 4.5}, ("412", 1): {"born": Born.ALIVE, "belly": Belly.HOLLOW},
        ("A*", 1): {"born": Born.ALIVE}, ("A*", 2): {"born": Born.ALIVE, "taken": Taken.REFUSED}, ("A*", 3): {"tag": "7003"},
        ("gone", 1): {"born": Born.ALIVE}, ("gone", 2): {"born": Born.ALIVE, "reared_by": RearedBy.PET, "moved_on": day(22)},
        ("aborted", 1): {"born": Born.ABORTED}, ("aborted", 2): {"born": Born.ABORTED},
        ("prolapsed", 1): {"born": Born.ALIVE, "sucked": Sucked.NO}, ("womb", 1): {"born": Born.DEAD_FRESH},
        ("teats", 1): {"born": Born.ALIVE}, ("trouble", 1): {"born": Born.ALIVE, "left_how": LambLeft.DIED},
        ("helped", 1): {"born": Born.ALIVE, "foster_ewe": "by count", "moved_on": day(24), "belly": Belly.HOLLOW},
        ("dry", 1): {"born": Born.ALIVE}, ("dead inside", 1): {"born": Born.DEAD_DECAYED},
        ("dead inside", 2): {"born": Born.DEAD_FRESH}, ("early", 1): {"born": Born.ALIVE, "vigour": Vigour.WEAK},
        ("small", 1): {"born": Born.ALIVE, "birth_weight": 2.2, "sucked": Sucked.TUBED},
        ("small", 2): {"born": Born.ALIVE, "birth_weight": 3.4}, ("small", 3): {"born": Born.DEAD_FRESH},
        ("held", 1): {"born": Born.ALIVE, "reared_by": RearedBy.PET, "why_moved": WhyMoved.NO_MILK},
    }
    return {
        "groups": [{"group": "A", "ram_out": date(2025, 10, 20)}, {"group": "C", "how_recorded": HowRecorded.COUNTS_ONLY}],
        "ewes": laid["ewes"],
        "lambing": [{**row, **lambing.get(str(row["ewe"]), {})} for row in laid["lambing"]] + [{"ewe": "00412", "pen": "9"}],
        "lambs": [
            *({**row, **lambs.get((str(row["ewe"]), int(str(row["lamb_no"]))), {})} for row in laid["lambs"]),
            {"tag": "bought", "reared_by": RearedBy.NO_EWE}, {"ewe": "nobody", "lamb_no": 1, "born": Born.ALIVE},
        ],
        "ewe_check": [
            {"ewe": "mastitis", "date": day(24), "trouble": Trouble.MASTITIS}, {"ewe": "AB", "trouble": Trouble.SLEEPY},
            {"ewe": "412", "date": day(23), "sides_in_milk": 0}, {"ewe": "teats", "date": day(25), "teats": Teats.SOUND},
            {"ewe": "mastitis", "date": day(10), "trouble": Trouble.ABORTED},
            {"ewe": "mastitis", "date": day(2), "trouble": Trouble.PROLAPSE},
            {"ewe": "lame", "date": day(24), "feet": Feet.BADLY_LAME, "teats": Teats.SOUND, "udder": Udder.HARD},
            {"ewe": "lame", "date": day(21), "teats": Teats.LARGE, "condition": 1.0},
            {"ewe": "seen again", "date": day(24), "udder": Udder.SOUND},
            {"ewe": "thin", "date": day(23), "trouble": Trouble.THIN, "condition": 1.2},
        ],
        "treatments": [
            {"date": day(20), "given_to": TreatedFor.EWE, "animal": "treated", "product": "x", "withdrawal": 28},
            {"date": day(24), "given_to": TreatedFor.EWE, "animal": "treated", "product": "y", "withdrawal": 2},
            {"date": day(22), "given_to": TreatedFor.EWE, "animal": "lame", "product": "y", "withdrawal": 0,
             "reason": Reason.LAMENESS},
            {"date": day(24), "given_to": TreatedFor.EWE, "animal": "mastitis", "product": "y"},
            {"date": day(1), "given_to": TreatedFor.GROUP, "animal": "A", "product": "z", "withdrawal": 40},
            {"date": day(1), "given_to": TreatedFor.ALL_EWES, "product": "v", "withdrawal": 0},
        ],
    }
