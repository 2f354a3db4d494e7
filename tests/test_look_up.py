"""The top of Tonight: which ewe a typed number means, and what is shown of her; the same in LibreOffice."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime

import pytest
from office import taken

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, EweLeft, Help, LambingTrouble, NextDay, WhyHelped, YesNo
from template_builder.layout.columns import NOT_KNOWN, Row, Value
from template_builder.layout.laying import Order, lay_ready
from template_builder.layout.sheets.ewes import EWES
from template_builder.layout.warning import last_years_warning
from template_builder.layout.whole import TONIGHT_TAB
from template_builder.live.look_up import CALLS, LINKS, LOOK_UP
from template_builder.live_values import laid_out, reckoned, with_values

pytestmark = pytest.mark.usefixtures("few_spare_rows")

NIGHT = datetime(2026, 3, 25, 3, 0)
ASK, ANSWERED = "C1", "A2"


def day(number: int) -> date:
    return date(2026, 3, number)


def flock() -> dict[str, list[Row]]:
    """Ewes whose numbers are easily taken for one another, three of them lambed."""
    ewes: list[Row] = [
        {"ewe": "0412", "scanned": 2, "due": day(28), "group": "Low", "mark": "blue dot", "past_warning": "watch her bag"},
        {"ewe": "412", "scanned": 1, "due": day(24)}, {"ewe": "0413", "scanned": 3, "due": day(20)},
        {"ewe": "1513", "scanned": 1}, {"ewe": "007", "scanned": 0, "left_on": day(2), "left_how": EweLeft.DIED},
        {"ewe": "07", "scanned": 1}, {"ewe": "A*", "scanned": 1}, {"ewe": "88", "official_tag": "UK 0 123456 00999"},
        {"ewe": "89", "also_known_as": "old 55"}, {"ewe": "90", "also_known_as": "55", "official_tag": "UK 0 123456 00998"},
        {"ewe": "1513", "scanned": 1}, {"ewe": "000600", "scanned": NOT_KNOWN, "due": "soon"},
    ]
    laid = lay_ready(ewes)
    lambing: dict[str, Row] = {
        "0413": {"lambed_on": day(24), "help": Help.LIGHT, "why_helped": WhyHelped.LARGE_LAMB, "pen": "7", "notes": "quiet",
                 "trouble": LambingTrouble.OTHER},
        "412": {"lambed_on": day(24), "finished": datetime(2026, 3, 24, 2, 5), "next_day": NextDay.ALL_FULL,
                "all_well": YesNo.YES},
        "07": {"born_alive": 1, "born_dead": 1, "lambed_on": day(25)},
    }
    lambs: dict[tuple[str, int], Row] = {
        ("0413", 1): {"born": Born.ALIVE}, ("0413", 2): {"born": Born.MUMMIFIED}, ("412", 1): {"born": Born.ALIVE},
    }
    return {
        **laid, "lambing": [{**row, **lambing.get(str(row["ewe"]), {})} for row in laid["lambing"]],
        "lambs": [{**row, **lambs.get((str(row["ewe"]), int(str(row["lamb_no"]))), {})} for row in laid["lambs"]],
        "season": [{"row_key": "as_of", "value": NIGHT}],
    }


class LookedUp:
    """The cells of the look-up by id, each worked out when it is asked for."""

    def __init__(self, asked: str | int | None, rows: Mapping[str, Sequence[Row]]) -> None:
        self.reckoning = reckoned(laid_out(rows), NIGHT, asked)

    def __getitem__(self, id: str) -> object:
        return self.reckoning.cell(f"live_{id}")


HINT = "Type a ewe's number, or its last digits."
# What is typed -> what is answered.
ANSWERS: Mapping[str | int | None, str] = {
    None: HINT, "": HINT, "  ": HINT,
    "0412": "Ewe 0412", "412": "Ewe 412", 412: "Ewe 412", " 0412 ": "Ewe 0412", "\u00a00412": "Ewe 0412",
    "00412": "2 ewes fit 00412: write it as on Ewes.",  # 0412 and 412 differ from it in zeros alone
    "413": "Ewe 0413", 413: "Ewe 0413", "000413": "Ewe 0413", "600": "Ewe 000600",
    "13": "2 numbers end in 13: type more of it.", "513": "Ewe 1513", "1513": "Ewe 1513",  # listed twice, and one ewe
    "7": "2 ewes fit 7: write it as on Ewes.", "07": "Ewe 07", "007": "Ewe 007, no longer here",
    "999": "Ewe 88", "00999": "Ewe 88", "123456 00999": "Ewe 88", "old 55": "Ewe 89",
    "55": "2 tags end in 55: type more of it.", "99999": "No ewe on Ewes fits 99999.", "soon": "No ewe on Ewes fits soon.",
    "?": "No ewe on Ewes fits ?.", "A*": "Ewe A*", "a*": "Ewe A*", "*": "Ewe A*", "A?": "No ewe on Ewes fits A?.",
}


@pytest.mark.parametrize("asked", ANSWERS, ids=repr)
def test_whom_a_typed_number_means(asked: str | int | None) -> None:
    assert ANSWERS[asked] == LookedUp(asked, flock())["answer"]


# What is shown of a ewe, line by line.
SHOWN: Mapping[str, Mapping[str, str]] = {
    "0412": {"scanned": "2 lambs, due 28 Mar (in 3 days)", "where": "mark blue dot, group Low", "warning": "watch her bag",
             "lambed": "not yet; no lambs written", "next_look": "", "trouble": "", "to_lambing": "Lambing {lambing}",
             "to_lambs": "Lambs {lambs}, her first free row"},
    "413": {"scanned": "3 lambs, due 20 Mar", "where": "pen 7", "warning": "no warning",
            "lambed": "24 Mar, help light (large lamb); 1 born alive, 0 dead, 1 mummified or aborted; with her now 1",
            "next_look": "due 25 Mar", "trouble": "other, abortion suspected; look due; fewer lambs than scanned (2 of 3), "
            "note: quiet"},
    "412": {"scanned": "1 lamb, due 24 Mar", "lambed": "24 Mar 02:05; 1 born alive, 0 dead; with her now 1",
            "next_look": "made all full", "to_lambs": "Lambs {lambs}, a row of no ewe: hers are full"},
    "07": {"scanned": "1 lamb", "lambed": "25 Mar; 1 born alive, 1 dead; with her now 1"},
    "007": {"scanned": "empty", "lambed": "not yet; no lambs written", "to_lambing": "Lambing, a free row"},
    "600": {"scanned": "?, due soon"}, "88": {"scanned": "not scanned"},
    "99999": dict.fromkeys([cell.id.removeprefix("look_up_") for cell in (*LOOK_UP, *LINKS)], ""),
}


def _rows_of(rows: Mapping[str, Sequence[Row]], ewe: str) -> dict[str, int]:
    """Where her row on Lambing stands, and the first one on Lambs that says nothing yet, or is nobody's."""
    lambs = rows["lambs"]
    free = [n for n, row in enumerate(lambs) if row.get("ewe") == ewe and "born" not in row]
    return {
        "lambing": next((n + 4 for n, row in enumerate(rows["lambing"]) if row["ewe"] == ewe), 0),
        "lambs": (free[0] if free else len(lambs)) + 4,
    }


@pytest.mark.parametrize("asked", SHOWN)
def test_what_is_shown_of_her(asked: str) -> None:
    rows = flock()
    found = LookedUp(asked, rows)
    places = _rows_of(rows, str(found["found_name"]))
    assert {f"look_up_{id}": words.format(**places) for id, words in SHOWN[asked].items()} == {
        f"look_up_{id}": found[f"look_up_{id}"] for id in SHOWN[asked]}


@pytest.mark.parametrize(("now", "hours", "due"), [
    (day(25), 30, "due 25 Mar"), (datetime(2026, 3, 25, 3), 6, "due 24 Mar"), (day(26), 30, "due 25 Mar"),
    (datetime(2026, 3, 26, 0, 1), 30, ""),  # more than two days after: no longer asked for, here as on Ewe status
])
def test_the_next_look_is_due_when_ewe_status_says(now: date, hours: int, due: str) -> None:
    """Of the hour she lambed nothing is written, so of the look neither: its day alone."""
    season: list[Row] = [{"row_key": "as_of", "value": now}, {"row_key": "next_look", "value": hours}]
    of = reckoned(laid_out({**flock(), "season": season}), NIGHT, "0413")
    assert due == of.cell("live_look_up_next_look")


def test_in_a_day_book_her_lambs_stand_on_her_line() -> None:
    rows = lay_ready([{"ewe": f"{number}", "scanned": 2} for number in range(4)], Order.DAY_BOOK)
    lambing: list[Row] = [{"ewe": "3", "lambed_on": day(24)}, {"ewe": "1", "lambed_on": day(24)}]
    rows["lambing"] = [{**row, **own} for row, own in zip(rows["lambing"], [*lambing, *[{}] * 50], strict=False)]
    second = next(n for n, row in enumerate(rows["lambs"]) if row["line"] == rows["lambing"][1]["line"])
    assert second > 0
    found = LookedUp("1", rows)
    assert ("Lambing 5", f"Lambs {second + 4}, her first free row") == (found["look_up_to_lambing"], found["look_up_to_lambs"])
    unseen = LookedUp("2", rows)
    assert (3, "Lambing, a free row") == (unseen["lambing_row"], unseen["look_up_to_lambing"])


@pytest.mark.parametrize("past", [
    {}, {"past_warning": "kicks"}, {"past_warning": NOT_KNOWN, "past_fault_1": 1}, {"past_prolapse": "vaginal 2025"},
    {"past_udder": "hard 2024", "past_abortion": "2025"}, {"past_refused": 1, "past_lost": 2}, {"past_refused": 0},
    {"past_fault_2": 1}, {"past_fault_3": 0}, {"past_faults": 1}, {"past_prolapse": "womb 2025", "past_fault_1": 1},
])
def test_last_years_warning_is_that_of_paper(past: dict[str, Value]) -> None:
    rows = lay_ready([{"ewe": "1", "scanned": 1, **past}])
    assert (last_years_warning(past) or "no warning") == LookedUp("1", rows)["look_up_warning"]


@pytest.mark.parametrize(("season", "said"), [
    ({}, "write your vet's number on Season"), ({"vet": "A. Vet 0100"}, "vet A. Vet 0100"),
    ({"vet": "0100", "vet_at_night": "0200", "farm": "0300", "helper": "0400"},
     "vet 0100, vet out of hours 0200, farm 0300, helper 0400"),
    ({"helper": "0400"}, "write your vet's number on Season, helper 0400"),
])
def test_whom_to_call(season: dict[str, str], said: str) -> None:
    rows: dict[str, list[Row]] = {"season": [{"row_key": id, "value": value} for id, value in season.items()]}
    assert said == LookedUp(None, rows)["calls"]


UNREADABLE = [["formula", "Ewes", "A9", "=1/0"], ["set", TONIGHT_TAB, ASK, "13"], ["recalculate"],
              ["read", TONIGHT_TAB, ANSWERED]]


@pytest.fixture(scope="module")
def in_libreoffice(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """The answer, the lines and the links as LibreOffice works them out, for each number typed in turn.

    Under "error" the answer where a number on Ewes has become an error.
    """
    path = tmp_path_factory.mktemp("tonight") / "season.xlsx"
    build(path, with_values(Plan("Night", flock()), NIGHT))
    asked = ["0412", "413", "00412", "13", "07", "007", "999", "55", "*", "99999"]
    area = f"A2:C{3 + len(LOOK_UP) + 1}"
    orders = [order for one in asked for order in (["set", TONIGHT_TAB, ASK, one], ["recalculate"], ["read", TONIGHT_TAB, area])]
    *read, unreadable = taken(path, [*orders, *UNREADABLE])
    return {"error": unreadable[0], **{
        one: [area[0][0], *(row[2] for row in area[1:-2]), area[-1][0], area[-1][2]]
        for one, area in zip(asked, read, strict=True)}}


def test_libreoffice_says_the_same(in_libreoffice: dict[str, list[str]]) -> None:
    ids = ["answer", *(cell.id for cell in (*LOOK_UP, *LINKS))]
    rows = flock()
    found = {asked: LookedUp(asked, rows) for asked in in_libreoffice if asked != "error"}
    wanted = {asked: [one[id] for id in ids] for asked, one in found.items()}
    assert wanted == {asked: told for asked, told in in_libreoffice.items() if asked != "error"}


def test_a_number_that_cannot_be_read_on_ewes_is_said(in_libreoffice: dict[str, list[str]]) -> None:
    assert ["A number on Ewes cannot be read: put it right first."] == in_libreoffice["error"]


def test_every_line_of_the_look_up_has_its_words() -> None:
    assert all(cell.words for cell in (*LOOK_UP, CALLS))
    assert {"past_warning", "mark", "group"} <= {column.id for column in EWES}
