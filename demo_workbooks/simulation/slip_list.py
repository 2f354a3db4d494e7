"""The slips tired people make, as data: what it is, which row it suits, and what ends up in the cells."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from demo_workbooks.simulation.book import Book
from demo_workbooks.simulation.farm import DRENCHED, FAT_LAMBS_SOLD_ON, MARKING, TURNOUT, WEANING, YEAR
from template_builder.layout.choices import (
    Belly,
    Born,
    Cause,
    Colostrum,
    EweLeft,
    Help,
    LambLeft,
    Milk,
    NextDay,
    RearedBy,
    Sex,
    Stage,
    Sucked,
    Taken,
    TreatedFor,
    WhyHelped,
    WhyMoved,
)
from template_builder.layout.columns import NOT_KNOWN, Row, Value

Suits = Callable[[Row, Book], bool]
Writes = Callable[[Row, Book], Row]


@dataclass(frozen=True)
class Slip:
    """One slip. `writes` gives the cells to write over a row that `suits`, None to clear one.

    With `added`, the cells make a new row below instead, and the row that suits stands on that sheet.
    """

    what: str
    sheet: str
    suits: Suits
    writes: Writes
    added: str = ""


def _ordinary(row: Row, book: Book) -> bool:
    return bool(ewe := book.ewe_of(row)) and ewe in book.ewes and book.ordinary(ewe)


def _with(*columns: str) -> Suits:
    return lambda row, book: _ordinary(row, book) and all(column in row for column in columns)


def _without(*columns: str) -> Suits:
    return lambda row, book: _ordinary(row, book) and not any(column in row for column in columns)


def _litter_of(number: int) -> Suits:
    return lambda row, book: _ordinary(row, book) and book.born(book.ewe_of(row)) == number


def _alone(**cells: Value) -> Suits:
    """Rows with exactly these values, ordinary ewe or not."""
    return lambda row, book: cells.items() <= row.items()


def _put(**cells: Value) -> Writes:
    return lambda row, book: cells


def _day(row: Row, column: str) -> date:
    day = row[column]
    assert isinstance(day, date)
    return day


def _shift(column: str, days: int) -> Writes:
    return lambda row, book: {column: _day(row, column) + timedelta(days=days)}


def _short(row: Row, book: Book) -> Row:
    day = _day(row, "lambed_on")
    return {"lambed_on": f"{day.day} {day:%B}"}


def _swappable(row: Row, book: Book) -> bool:
    return _ordinary(row, book) and _day(row, "lambed_on").day in range(9, 13)


def _swapped(row: Row, book: Book) -> Row:
    day = _day(row, "lambed_on")
    return {"lambed_on": date(day.year, day.day, day.month)}


def _last_year(column: str) -> Writes:
    return lambda row, book: {column: _day(row, column).replace(year=YEAR - 1)}


def _backwards(row: Row, book: Book) -> Row:
    day = _day(row, "lambed_on")
    return {"waters_seen": datetime.combine(day, time(9, 30)), "finished": datetime.combine(day, time(6, 15))}


def _one_more(column: str, by: int = 1) -> Writes:
    def write(row: Row, book: Book) -> Row:
        number = row[column]
        assert isinstance(number, int)
        return {column: number + by}

    return write


def _emptied(row: Row, book: Book) -> Row:
    return {column: None for column in row if column not in ("ewe", "scanned", "due", "row_key")}


def _again(row: Row, book: Book) -> Row:
    return {column: value for column, value in row.items() if column in ("ewe", "scanned", "lambed_on", "help", "pen")}


def _lambed_though_empty(row: Row, book: Book) -> Row:
    return {"ewe": row["ewe"], "lambed_on": _day(row, "mated_on") + timedelta(days=148), "born_alive": 1, "help": Help.NONE}


def _next_tag(row: Row, book: Book) -> Row:
    tags = sorted(str(lamb["tag"]) for lambs in book.lambs.values() for lamb in lambs if "tag" in lamb)
    at = tags.index(str(row["tag"]))
    return {"tag": tags[at - 1] if at else tags[1]}


def _third_lamb(row: Row, book: Book) -> Row:
    return {"ewe": row["ewe"], "lamb_no": 3, "sex": Sex.RAM, "born": Born.ALIVE, "birth_weight": 3.4}


def _died_unborn(row: Row, book: Book) -> Row:
    born = book.lambed_on(book.ewe_of(row))
    assert born is not None
    return {"left_on": born - timedelta(days=3), "left_how": LambLeft.DIED, "cause": Cause.NOT_KNOWN}


def _set_on(to: Callable[[Row, Book], str]) -> Writes:
    return lambda row, book: {"reared_by": RearedBy.FOSTER_EWE, "foster_ewe": to(row, book)}


def _dead_and_tagged(row: Row, book: Book) -> bool:
    gone = row.get("left_on")
    return row.get("left_how") is LambLeft.DIED and "tag" in row and isinstance(gone, date) and gone < TURNOUT


def _dead_lamb_weighed(row: Row, book: Book) -> Row:
    return {"animal": row["tag"], "date": WEANING, "kg": 27.5}


def _look_at_dead_ewe(row: Row, book: Book) -> Row:
    return {"ewe": book.died(), "date": WEANING, "lambs_at_foot": 2}


def _early(row: Row, book: Book) -> bool:
    return _ordinary(row, book) and row["date"] != WEANING and book.ewe_of(row) != row["animal"]


def _late_enough(row: Row, book: Book) -> bool:
    """A ewe that lambed at least 145 days after mating: a mating a heat earlier makes that more than 160."""
    lambed = book.lambed_on(str(row["ewe"]))
    return _ordinary(row, book) and lambed is not None and (lambed - _day(row, "mated_on")).days >= 145


def _not_scanned(row: Row, book: Book) -> bool:
    return row.get("lamb_no") == 2 and "row_key" not in row


def _sold_fat(row: Row, book: Book) -> bool:
    return row.get("left_how") is LambLeft.SOLD and row.get("left_on") == FAT_LAMBS_SOLD_ON and "ewe" in row


def _moved_as_ewe_died(row: Row, book: Book) -> bool:
    return row.get("why_moved") is WhyMoved.EWE_DIED and "left_on" not in row


def _died_first_days(row: Row, book: Book) -> bool:
    born = row.get("born") is Born.ALIVE and row.get("left_how") is LambLeft.DIED and "tag" not in row
    return born and "born_alive" not in book.lambing.get(book.ewe_of(row), {})


def _died_in_lamb(row: Row, book: Book) -> bool:
    died = row.get("left_how") is EweLeft.DIED and row.get("scanned")
    return bool(died) and book.lambed_on(str(row["ewe"])) is None and not book.lambs_alive(str(row["ewe"]))


def _lambing_says(**cells: Value) -> Suits:
    """Rows on Lambs of ordinary ewes whose Lambing row has these values; None stands for a blank cell."""
    return lambda row, book: _ordinary(row, book) and all(
        book.lambing[book.ewe_of(row)].get(column) == value for column, value in cells.items()
    )


def _lamb_says(**cells: Value) -> Suits:
    """Rows of ordinary ewes one of whose lambs has these values."""
    return lambda row, book: _ordinary(row, book) and any(
        cells.items() <= lamb.items() for lamb in book.lambs[book.ewe_of(row)]
    )


def _at_foot(row: Row, book: Book) -> bool:
    return _ordinary(row, book) and bool(row.get("lambs_at_foot"))


def _helped_little(row: Row, book: Book) -> bool:
    return _without("all_well")(row, book) and row.get("help") in (Help.NONE, Help.LIGHT)


def _treated_in_spring(row: Row, book: Book) -> bool:
    return row.get("given_to") is TreatedFor.EWE and _day(row, "date") < TURNOUT and book.lambed_on(book.ewe_of(row)) is not None


def _lambed_before(row: Row, book: Book) -> bool:
    return _with("lambings_before", "born_year")(row, book) and bool(row["lambings_before"])


def _days_before(column: str, days: int) -> Writes:
    def write(row: Row, book: Book) -> Row:
        day = _day(row, "lambed_on") - timedelta(days=days)
        return {column: datetime.combine(day, time(9, 30))}

    return write


def _seen_early(row: Row, book: Book) -> Row:
    return {"ewe": row["ewe"], "date": _day(row, "lambed_on") - timedelta(days=20), "lambs_at_foot": 2}


def _set_on_when_gone(row: Row, book: Book) -> Row:
    foster = book.died_with_lambs()
    born, gone = book.lambed_on(str(row["ewe"])), _day(book.ewes[foster], "left_on")
    assert born is not None
    return {"reared_by": RearedBy.FOSTER_EWE, "foster_ewe": foster, "moved_on": max(born, gone) + timedelta(days=3)}


def _set_on_too_early(row: Row, book: Book) -> Row:
    ewe = str(row["ewe"])
    return {"reared_by": RearedBy.FOSTER_EWE, "foster_ewe": book.last_to_lamb(like=ewe), "moved_on": book.lambed_on(ewe)}


def _lambs_weeks_before_the_last(row: Row, book: Book) -> bool:
    ewe = book.ewe_of(row)
    if not _ordinary(row, book) or book.born(ewe) != 2:
        return False
    last, born = book.lambed_on(book.last_to_lamb(like=ewe)), book.lambed_on(ewe)
    return last is not None and born is not None and (last - born).days > 7


def _weighed_again(row: Row, book: Book) -> Row:
    kg = row["kg"]
    assert isinstance(kg, int | float)
    return {**row, "kg": kg + 2.5}


def _fourth_lamb(row: Row, book: Book) -> Row:
    return {"ewe": row["ewe"], "lamb_no": 4, "sex": Sex.EWE, "born": Born.ALIVE, "birth_weight": 3.1}


_all_well = _with("all_well", "lambed_on")

SLIPS: tuple[Slip, ...] = (
    Slip("group misspelt", "ewes", _ordinary, _put(group="Braw")),
    Slip("mated a heat earlier than she was", "ewes", _late_enough, _shift("mated_on", -17)),
    Slip("not known written for the condition", "ewes", _with("condition"), _put(condition=NOT_KNOWN)),
    Slip("official tag shortened by the spreadsheet", "ewes", _ordinary, _put(official_tag="8.26E+14")),
    Slip("day and month the wrong way round", "lambing", _swappable, _swapped),
    Slip("date written short, as text", "lambing", _ordinary, _short),
    Slip("a day there is not", "lambing", _ordinary, _put(lambed_on="31/2")),
    Slip("last year's date", "lambing", _ordinary, _last_year("lambed_on")),
    Slip("finished before the waters were seen", "lambing", _ordinary, _backwards),
    Slip("a word where a number belongs", "lambing", _litter_of(2), _put(born_alive="T")),
    Slip("side named where a number belongs", "lambing", _ordinary, _put(sides_in_milk="left only")),
    Slip("lambs counted do not meet the lamb rows", "lambing", _with("born_alive"), _one_more("born_alive")),
    Slip("prolapse misspelt", "lambing", _ordinary, _put(prolapse="vagnal")),
    Slip("no help, but a reason for it", "lambing", _all_well, _put(help=Help.NONE, why_helped=WhyHelped.SLOW)),
    Slip("all well, but hard help", "lambing", _all_well, _put(help=Help.HARD)),
    Slip("not known written for the afterbirth", "lambing", _ordinary, _put(afterbirth=NOT_KNOWN)),
    Slip("a note that looks like a formula", "lambing", _without("notes"), _put(notes="=good mother, keep her ewe lamb")),
    Slip("lambs written, the lambing not", "lambing", _all_well, _emptied),
    Slip("a lambing written twice", "lambing", _with("help"), _again, added="lambing"),
    Slip("a lambing of a ewe nobody knows", "lambing", _all_well,
         lambda row, book: {"ewe": "8888", "lambed_on": row["lambed_on"], "born_alive": 1}, added="lambing"),
    Slip("a ewe scanned empty has lambed", "lambing", lambda row, book: row.get("scanned") == 0 and "left_on" not in row,
         _lambed_though_empty, added="ewes"),
    Slip("two lambs with one tag", "lambs", _with("tag"), _next_tag),
    Slip("two lambs of a ewe with one number", "lambs", _not_scanned, _put(lamb_no=1)),
    Slip("weight with a comma and its unit", "lambs", _litter_of(2), _put(birth_weight="4,5 kg")),
    Slip("weight without its point", "lambs", _litter_of(1), _put(birth_weight=45)),
    Slip("a large weight for a twin", "lambs", _litter_of(2), _put(birth_weight=6.5)),
    Slip("a word for a weight", "lambs", _with("birth_weight"), _put(birth_weight="heavy")),
    Slip("weight not known", "lambs", _with("birth_weight"), _put(birth_weight=NOT_KNOWN)),
    Slip("born misspelt", "lambs", _ordinary, _put(born="aliv")),
    Slip("born left blank", "lambs", _ordinary, _put(born=None)),
    Slip("foster ewe nobody knows", "lambs", _litter_of(2), _set_on(lambda row, book: "7777")),
    Slip("foster ewe is the ewe that bore it", "lambs", _litter_of(2), _set_on(lambda row, book: str(row["ewe"]))),
    Slip("set on to a ewe that aborted", "lambs", _litter_of(2), _set_on(lambda row, book: book.aborted())),
    Slip("died before it was born", "lambs", _litter_of(1), _died_unborn),
    Slip("a cause of death with a lamb alive", "lambs", _ordinary, _put(cause=Cause.SCOUR)),
    Slip("a lamb more than scanned", "lambs", _litter_of(2), _third_lamb, added="lambs"),
    Slip("a note that begins with an at sign", "lambs", _without("notes"), _put(notes="@ the vet: swollen knee?")),
    Slip("weighed after it died", "weights", _dead_and_tagged, _dead_lamb_weighed, added="lambs"),
    Slip("weighed before it was born", "weights", _early, _last_year("date")),
    Slip("weighed animal nobody knows", "weights", _early, _put(animal="36001")),
    Slip("count below the book", "counts", _alone(group="Brow", date=MARKING), _one_more("lambs", -6)),
    Slip("count above the book", "counts", _alone(group="Mead", date=TURNOUT), _one_more("lambs", 5)),
    Slip("ewe number without its zero", "ewe_check", _alone(ewe="0412", date=WEANING), _put(ewe="412")),
    Slip("look at a ewe that had died", "ewe_check", _ordinary, _look_at_dead_ewe, added="ewe_check"),
    Slip("withdrawal left blank", "treatments", _with("withdrawal"), _put(withdrawal=None)),
    Slip("treated ewe nobody knows", "treatments", _with("animal"), _put(animal="6666")),
    Slip("fewer ewes to the ram than stand in the group", "groups", _alone(group="Mead"), _put(ewes_to_ram=40)),
    Slip("a ewe twice", "ewes", _ordinary, lambda row, book: {"ewe": row["ewe"], "scanned": 1}, added="ewes"),
    Slip("an older number that is another ewe's", "ewes", _ordinary, lambda row, book: {"also_known_as": book.died()}),
    Slip("a condition that cannot have changed so much", "ewes", _with("condition", "scanned_on"), _put(condition=0.5)),
    Slip("older than her lambings allow", "ewes", _lambed_before, _put(born_year=YEAR - 1)),
    Slip("mated in the month before", "ewes", _with("mated_on"), _shift("mated_on", -40)),
    Slip("her death not written", "ewes", _died_in_lamb, _put(left_on=None, left_how=None, left_why=None)),
    Slip("turned out before she lambed", "lambing", _with("turned_out_on"), _shift("turned_out_on", -90)),
    Slip("waters seen days before", "lambing", _without("waters_seen", "finished"), _days_before("waters_seen", 3)),
    Slip("plenty of colostrum and no side in milk", "lambing", _ordinary, _put(colostrum=Colostrum.PLENTY, sides_in_milk=0)),
    Slip("no colostrum, but a lamb sucked alone", "lambing", _lamb_says(sucked=Sucked.ALONE), _put(colostrum=Colostrum.NONE)),
    Slip("scan changed on Lambing alone", "lambing", _litter_of(2), _put(scanned=1)),
    Slip("a caesarean without treatment", "lambing", _helped_little, _put(help=Help.CAESAREAN)),
    Slip("hollow, though all were full", "lambs", _lambing_says(next_day=NextDay.ALL_FULL), _put(belly=Belly.HOLLOW)),
    Slip("refused, but not moved", "lambs", _lambing_says(all_well=None), _put(taken=Taken.REFUSED)),
    Slip("a pet with a foster ewe", "lambs", _litter_of(2),
         lambda row, book: {"reared_by": RearedBy.PET, "foster_ewe": book.died_with_lambs()}),
    Slip("set on to a ewe that did not lamb", "lambs", _litter_of(2), _set_on(lambda row, book: book.first(scanned=0))),
    Slip("set on to a ewe that had died", "lambs", _litter_of(2), _set_on_when_gone),
    Slip("set on before she lambed", "lambs", _lambs_weeks_before_the_last, _set_on_too_early),
    Slip("still booked on the ewe that died", "lambs", _moved_as_ewe_died,
         _put(reared_by=None, foster_ewe=None, moved_on=None, why_moved=None)),
    Slip("born dead, but it died later", "lambs", _died_first_days, _put(born=Born.DEAD_FRESH)),
    Slip("sold within the withdrawal", "lambs", _sold_fat, _put(left_on=DRENCHED + timedelta(days=14))),
    Slip("left, but not how", "lambs", _sold_fat, _put(left_how=None)),
    Slip("a lamb without its ewe", "lambs", _ordinary, _put(ewe=None, sex=Sex.RAM, born=Born.ALIVE, tag="39999"), added="lambs"),
    Slip("electronic tag of its ewe", "lambs", _ordinary,
         lambda row, book: {"electronic_tag": book.ewes[book.ewe_of(row)]["official_tag"]}),
    Slip("a fourth lamb of three scanned", "lambs", _litter_of(3), _fourth_lamb, added="lambs"),
    Slip("a weight of another animal", "weights", _early, _put(kg=64.5)),
    Slip("weighed twice in a day", "weights", _early, _weighed_again, added="weights"),
    Slip("count without its day", "counts", _alone(group="Brow", date=WEANING), _put(date=None)),
    Slip("count at the wrong stage", "counts", _alone(group="Brow", date=TURNOUT), _put(stage=Stage.WEANING)),
    Slip("lambs at foot before she lambed", "ewe_check", _with("lambed_on"), _seen_early, added="lambing"),
    Slip("last year's date for a treatment", "treatments", _treated_in_spring, _last_year("date")),
    Slip("more lambs seen than she has", "ewe_check", _at_foot, _one_more("lambs_at_foot", 1)),
    Slip("dry, with lambs at foot", "ewe_check", _at_foot, _put(milk=Milk.DRY)),
    Slip("treated lamb nobody knows", "treatments",
         lambda row, book: row.get("given_to") is TreatedFor.LAMB, _put(animal="26999")),
)
