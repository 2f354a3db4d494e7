"""Fifteen lambings typed as a farmer types them, in the words, dates and weights of the trade: what is asked is worth asking."""

from collections import Counter
from datetime import date, datetime, time

import pytest

from template_builder.build import Plan, build
from template_builder.layout.choices import Born, Help, LambLeft, Presentation, RearedBy, Sex
from template_builder.layout.columns import Row
from template_builder.layout.laying import lay_ready
from workbook.reading.season_file import read
from workbook.results.pipeline import Checked, check

MOST_ASKED = 5
# One line an ewe: scanned; lambed on, all well, help, why helped, colostrum, teats, waters seen; then her lambs, each with
# sex, born, birth weight, presentation, reared by, left on, left how, cause. Blank cells are left out.
TYPED = """
2;   14/4, ok, , , , , ;                     T, ok, 4.2kg | gimmer, live, 9lb
tw;  14/4, Y, , , , , 3am;                   ml, a, 4.5 kg | F, a, 4.1kg
S;   15/4, , pulled, hung, good, ok, ;       tup lamb, alive, 5.6kg, hung
2;   15/4, ok, , , , , ;                     E, ok, 4kg | R, ok, 4.3kg
tw;  15/4, , assisted, leg back, good, good, 11pm; gimmer lamb, ok, 4.4kg, leg back | T, dead, 4kg, backwards
1;   16/4, x, , , , , ;                      W, ok, 5.1kg
trip; 16/4, ok, , , , , ;                    F, ok, 3.4kg | M, ok, 3.5kg | fm, ok, 3kg, , cade
2;   16/4, , C-section, big lamb, ok, ok, ;  tup, ok, 5.5kg, large | gimmer, ok, 4.2kg, ok
twin; 17/4, ok, , , , , ;                    F, ok, 9lb | ml, ok, 9lb 4oz
2;   17/4, ok, , , , , ;                     T, S/B, 3.9kg | T, ok, 4.4kg
sgl; 18/4, , no, , ok, ok, ;                 gimmer, ok, 5kg, ok, , 20/4, dead, hypothermia
2;   18/4, ok, , , , , ;                     tup, ok, 4.6kg | tup, still born, 4kg
tw;  19/4, ok, , , , , ;                     gimmer, ok, 4.2kg | tup, ok, 4.4kg
single; 19/4, , easy, tight, good, good, ;   T, ok, 6kg, head back
2;   20/4, ok, , , , , ;                     E, ok, 4.2kg | T, ok, 4.5kg, , pet lamb
"""
LAMBING = ("lambed_on", "all_well", "help", "why_helped", "colostrum", "teats", "waters_seen")
LAMB = ("sex", "born", "birth_weight", "presentation", "reared_by", "left_on", "left_how", "cause")
LITTER = {"1": 1, "S": 1, "sgl": 1, "single": 1, "2": 2, "tw": 2, "twin": 2, "trip": 3}
DATES = frozenset({"R111", "R129", "R130", "R131", "R132"})
AMOUNTS = frozenset({"R101", "R110"})


def cells(titles: tuple[str, ...], line: str) -> Row:
    typed = (word.strip() for word in line.split(","))
    return {title: word for title, word in zip(titles, typed, strict=False) if word}


def season() -> dict[str, list[Row]]:
    """The rows as laid ready, then as typed."""
    lines = [[part.strip() for part in line.split(";")] for line in TYPED.strip().splitlines()]
    ewes: list[Row] = [{"ewe": f"{101 + number}", "scanned": LITTER[line[0]], "group": "Home", "breed": "Mule"}
                       for number, line in enumerate(lines)]
    rows = lay_ready(ewes)
    written = {f"{101 + number}": line for number, line in enumerate(lines)}
    # What the scanner's list was copied over with: the counts in his words.
    counts = {ewe: int(line[0]) if line[0].isdigit() else line[0] for ewe, line in written.items()}
    rows["ewes"] = [{**row, "scanned": counts[str(row["ewe"])]} for row in rows["ewes"]]
    rows["lambing"] = [{**row, **cells(LAMBING, written[str(row["ewe"])][1])} for row in rows["lambing"]]
    rows["lambs"] = [{**row, **cells(LAMB, written[str(row["ewe"])][2].split("|")[int(str(row["lamb_no"])) - 1])}
                     for row in rows["lambs"]]
    rows["groups"] = [{"group": "Home", "ewes_to_ram": len(lines), "ram_in": date(2025, 11, 15), "ram_out": date(2025, 12, 20)}]
    rows["season"] = [{"row_key": "year", "value": 2026}, {"row_key": "as_of", "value": datetime(2026, 4, 22, 12, 0)}]
    return rows


@pytest.fixture(scope="module")
def checked(tmp_path_factory: pytest.TempPathFactory) -> Checked:
    path = tmp_path_factory.mktemp("farmer") / "season.xlsx"
    build(path, Plan("As a farmer writes", season()))
    return check(read(path))


def asked(checked: Checked, but: frozenset[str] = frozenset()) -> list[str]:
    return [f"{problem.rule.id} {problem.place} {problem.found.text}" for problem in checked.problems
            if problem.rule.id not in but]


def test_words_give_no_problem_at_all(checked: Checked) -> None:
    assert [] == asked(checked, DATES | AMOUNTS)


def test_at_most_five_things_are_asked(checked: Checked) -> None:
    assert MOST_ASKED >= len(asked(checked)), "\n".join(asked(checked))


def values(checked: Checked, sheet: str, column: str) -> list[object]:
    return [record.held(column) for record in checked.season.rows(sheet)]


def test_every_word_is_read_as_meant(checked: Checked) -> None:
    counts = [2, 2, 1, 2, 2, 1, 3, 2, 2, 2, 1, 2, 2, 1, 2]
    assert counts == values(checked, "ewes", "scanned")
    sexes: Counter[object] = Counter(values(checked, "lambs", "sex"))
    assert {Sex.EWE: 11, Sex.RAM: 15, Sex.WETHER: 1} == sexes
    born: Counter[object] = Counter(values(checked, "lambs", "born"))
    assert {Born.ALIVE: 24, Born.DEAD_FRESH: 3} == born
    helped: Counter[object] = Counter(values(checked, "lambing", "help"))
    assert {Help.LIGHT: 3, Help.CAESAREAN: 1, Help.NONE: 1, None: 10} == helped
    assert {RearedBy.PET: 2, None: 25} == Counter(values(checked, "lambs", "reared_by"))
    lay: Counter[object] = Counter(values(checked, "lambs", "presentation"))
    assert {
        Presentation.HEAD_ONLY: 1, Presentation.LEG_BACK: 1, Presentation.HIND_LEGS: 1, Presentation.LARGE: 1,
        Presentation.HEAD_BACK: 1, Presentation.NORMAL: 2, None: 20,
    } == lay
    assert [LambLeft.DIED] == [how for how in values(checked, "lambs", "left_how") if how]
    assert [time(3), time(23)] == [seen for seen in values(checked, "lambing", "waters_seen") if seen]
