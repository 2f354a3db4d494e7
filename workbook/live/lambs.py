"""Values of the hidden block of lambs."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from template_builder.choices import Belly, Born, RearedBy, Sucked, Taken
from template_builder.layout import FIRST_ROW
from template_builder.live.columns import LiveRow, LiveValue, place
from template_builder.live.formulas import EWE, FIRST, MINUTES, NO_MINUTE, PAIR
from template_builder.live.lambs import BOTH_SIDES, SET_ON_DAYS
from workbook.advice.signs import lambed_at, midnight
from workbook.cells import Record
from workbook.flock import BORN, Lamb
from workbook.live.lamb_cells import bad_lamb, lamb_cells
from workbook.live.rows import Rows, minute, text

# A row nobody has written in.
_BLANK: LiveRow = {
    "bad": 0, "bearer": 0, "adrift": 0, "how": 0, "alive": 0, "here": 0, "born_too": 0, "rearer": 0, "since": NO_MINUTE,
    "hollow_key": "", "unsucked_key": "", "refused_key": "", "borne": 0, "reared": 0, "born_minute": NO_MINUTE, "age": "",
    "crowd": 0, "spare": 0, "spare_key": "",
}


def lambs(rows: Rows, ewes: Sequence[LiveRow]) -> list[LiveRow]:
    """One row for each row of Lambs."""
    by_row = {lamb.record.row: lamb for lamb in rows.season.flock.lambs if lamb.named}
    return [
        _lamb(rows, ewes, record, by_row.get(record.row)) for record in rows.typed["lambs"]
    ]


def _lamb(rows: Rows, ewes: Sequence[LiveRow], record: Record, lamb: Lamb | None) -> LiveRow:
    known = record if lamb else None
    name, foster = text(known, "ewe"), text(known, "foster_ewe")
    written: dict[str, LiveValue] = {
        "touched": int(record.touched), "name": name, "ewe": rows.ewe(name), "foster_text": foster, "foster": rows.ewe(foster),
        **lamb_cells(known),
    }
    return {**written, **(_BLANK if lamb is None else _joined(rows, ewes, record, lamb))}


def _joined(rows: Rows, ewes: Sequence[LiveRow], record: Record, lamb: Lamb) -> dict[str, LiveValue]:
    here = lamb.born is Born.ALIVE and lamb.left_how is None
    bearer, wrong = _row(rows, lamb.bearer), bad_lamb(record)
    rearer = _row(rows, lamb.rearer) if here else 0
    since = since_when(rows, lamb) if rearer else None
    keys = {
        id: rearer * EWE + minute(since) if rearer and is_so else "" for id, is_so in what_is_wrong(lamb).items()
    }
    flagged = any(key != "" for key in keys.values())
    counts = (1, lamb.born in BORN, lamb.born is Born.ABORTED, here, lamb.record.filled("belly"), wrong)
    return {
        "bad": int(wrong), "bearer": bearer, "adrift": int(wrong and not bearer), "how": place(lamb.reared_by),
        "alive": int(lamb.born is Born.ALIVE), "here": int(here), "born_too": int(lamb.born in BORN), "rearer": rearer,
        "since": minute(since), **keys,
        "borne": sum(int(count) * PAIR**pair for pair, count in enumerate(counts)) if bearer else 0,
        "reared": 1 + PAIR * flagged if rearer else 0, **_spare(rows, ewes, record, lamb, bearer, rearer),
    }


def _row(rows: Rows, key: str | None) -> int:
    """The row on Ewes of a ewe of the season; 0 for none, and for one that Ewes does not have as written."""
    return rows.ewes.get(key, 0) if key else 0


def since_when(rows: Rows, lamb: Lamb) -> datetime | None:
    """The day a lamb was set on; for her own lamb when its ewe lambed."""
    if lamb.set_on:
        return midnight(lamb.record.day("moved_on"))
    return lambed_at(rows.season.flock.ewes[lamb.rearer]) if lamb.rearer else None


def what_is_wrong(lamb: Lamb) -> Mapping[str, bool]:
    """Whether a lamb is hollow, does not suck, or is refused."""
    row = lamb.record
    return {
        "hollow_key": row["belly"] is Belly.HOLLOW,
        "unsucked_key": row["sucked"] is Sucked.NO and row["belly"] is not Belly.FULL,
        "refused_key": row["taken"] is Taken.REFUSED,
    }


def _spare(
    rows: Rows, ewes: Sequence[LiveRow], record: Record, lamb: Lamb, bearer: int, rearer: int,
) -> dict[str, LiveValue]:
    """Why a lamb could go to another ewe, and how old it is in minutes."""
    lambed = int(ewes[bearer - 1]["lambed_minute"]) if bearer else NO_MINUTE
    if lamb.born is not Born.ALIVE or lamb.left_how is not None:
        return {"born_minute": lambed, "age": "", "crowd": 0, "spare": 0, "spare_key": ""}
    age = minute(rows.when) - lambed if lambed < NO_MINUTE else None
    crowd = int(ewes[rearer - 1]["crowd"]) if rearer else 0
    why = 0
    if not rearer:
        why = 1 if lamb.reared_by is RearedBy.PET else 2
    elif crowd < 0:
        why = 3
    elif crowd > BOTH_SIDES:
        why = 4
    row = record.row - FIRST_ROW + 1
    young = age is None or 0 <= age <= SET_ON_DAYS * MINUTES
    key: LiveValue = (NO_MINUTE if age is None else age) * FIRST + row if why and young else ""
    return {"born_minute": lambed, "age": "" if age is None else age, "crowd": crowd, "spare": why, "spare_key": key}
