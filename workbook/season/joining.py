"""The records of a season joined by ewe and lamb."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from datetime import date

from template_builder.layout.choices import Born, CameFrom, RearedBy, TreatedFor, Weighed
from template_builder.layout.columns import Value
from workbook.season.cells import Record
from workbook.season.families import Ewe, Flock, Lamb, called, find_lamb, lamb_keys
from workbook.season.matching import EweNames
from workbook.season.short_words import said_in_short, said_of_lambs

KeyOf = Callable[..., str | None]
Lost = list[tuple[Record, str, str]]
_COUNTED = (("born_alive", Born.ALIVE), ("born_dead", Born.DEAD_FRESH))  # the counts on Lambing, and what each makes of a lamb


def join(records: Mapping[str, tuple[Record, ...]]) -> Flock:
    """Join all records of a season by ewe and lamb. Depends on the rows, not on their order within other sheets."""
    names = EweNames.of(records.get("ewes", ()))

    def key_of(record: Record, column: str = "ewe") -> str | None:
        written = record.text(column)
        return None if written is None else names.match(written).key

    on_ewes = _by_ewe(records.get("ewes", ()), key_of)
    lambing = _by_ewe(records.get("lambing", ()), key_of)
    lamb_rows = [row for row in records.get("lambs", ()) if row.touched]
    assumed: dict[str | None, Mapping[str, Value]] = {
        key: said_of_lambs(written[0]) for key, rows in lambing.items() if (written := _written(rows))
    }
    lambs = [_named(row, key_of, assumed) for row in lamb_rows]
    lambs += _unnamed(lambing, {lamb.bearer for lamb in lambs})
    of_lamb, of_ewe, lost = _weighings(records.get("weights", ()), names, lambs)
    lambs = [_with_weights(lamb, of_lamb) for lamb in lambs]
    treatments, lost_treatments = _treatments(records.get("treatments", ()), names)
    checks = _by_ewe(records.get("ewe_check", ()), key_of)
    keys = dict.fromkeys([*on_ewes, *lambing, *checks, *(k for lamb in lambs for k in (lamb.own_ewe, lamb.rearer) if k)])
    borne, brought, reared = _families(lambs)
    ewes = {
        key: _ewe(key, on_ewes.get(key, []), lambing.get(key, []), (borne[key], brought[key], reared[key]), checks.get(key, []),
                  treatments.get(key, []), of_ewe.get(key, []))
        for key in keys
    }
    return Flock(names, ewes, tuple(lambs), tuple(lost + lost_treatments))


def _by_ewe(rows: Iterable[Record], key_of: KeyOf) -> dict[str, list[Record]]:
    found: dict[str, list[Record]] = defaultdict(list)
    for row in rows:
        key = key_of(row)
        if key is not None:
            found[key].append(row)
    return dict(found)


def _written(rows: Iterable[Record]) -> list[Record]:
    return [row for row in rows if row.touched]


def _ewe(
    key: str, on_ewes: list[Record], lambing: list[Record], families: tuple[list[Lamb], ...], checks: list[Record],
    treatments: list[Record], weights: list[Record],
) -> Ewe:
    borne, brought, fostered = families
    written = _written(lambing)
    first = said_in_short(written[0]) if written else None
    name = next((str(record["ewe"]) for record in (*on_ewes, *lambing, *checks)), key)
    return Ewe(
        key=key, name=name, record=on_ewes[0] if on_ewes else None, doubles=tuple(on_ewes[1:]), lambing=first,
        laid=lambing[0] if lambing else None, repeats=tuple(written[1:]), lambs=tuple(borne), fostered=tuple(fostered),
        checks=tuple(sorted(checks, key=lambda row: row.day("date") or date.max)),
        treatments=tuple(treatments), weights=tuple(weights), brought=tuple(brought),
    )


def _named(row: Record, key_of: KeyOf, assumed: Mapping[str | None, Mapping[str, Value]]) -> Lamb:
    """A lamb from its own row. Born blank counts as alive, came from blank as born here if the ewe is named."""
    written, foster = key_of(row), key_of(row, "foster_ewe")
    came_from = row.choice("came_from", CameFrom) or (CameFrom.BORN_HERE if written else CameFrom.MOTHER_NOT_KNOWN)
    bearer = written if came_from is CameFrom.BORN_HERE else None
    born = row.choice("born", Born) or Born.ALIVE
    if born is Born.ALIVE and (in_short := assumed.get(bearer)):
        row = row.assuming(in_short)
    reared_by = row.choice("reared_by", RearedBy)
    if reared_by is None:
        reared_by = RearedBy.FOSTER_EWE if foster else RearedBy.OWN_EWE if written else RearedBy.NO_EWE
    rearer = {RearedBy.OWN_EWE: written, RearedBy.FOSTER_EWE: foster}.get(reared_by)
    came_with = written if came_from is CameFrom.WITH_HER else None
    return Lamb(called(row), row, True, born, came_from, bearer, row.whole("lamb_no"), reared_by, rearer, came_with=came_with)


def _unnamed(lambing: Mapping[str, list[Record]], with_rows: set[str | None]) -> list[Lamb]:
    """Lambs known only by the counts on Lambing, for ewes none of whose lambs has a row of its own."""
    lambs: list[Lamb] = []
    for key, rows in lambing.items():
        written = _written(rows)
        if key in with_rows or not written:
            continue
        row = written[0]
        kinds = [born for column, born in _COUNTED if (count := row.whole(column)) for _ in range(count)]
        lambs += [
            Lamb(f"{row.text('ewe')}, unnamed {number}", row, False, born, CameFrom.BORN_HERE, key, None, RearedBy.OWN_EWE, key)
            for number, born in enumerate(kinds, start=1)
        ]
    return lambs


def _families(lambs: Iterable[Lamb]) -> tuple[dict[str | None, list[Lamb]], ...]:
    """By ewe: the lambs she bore here, those that came with her, and those set on to her; None stands for no ewe."""
    borne: dict[str | None, list[Lamb]] = defaultdict(list)
    brought: dict[str | None, list[Lamb]] = defaultdict(list)
    reared: dict[str | None, list[Lamb]] = defaultdict(list)
    for lamb in lambs:
        borne[lamb.bearer].append(lamb)
        brought[lamb.came_with].append(lamb)
        if lamb.set_on:
            reared[lamb.rearer].append(lamb)
    return borne, brought, reared


def _weighings(
    rows: Iterable[Record], names: EweNames, lambs: Iterable[Lamb],
) -> tuple[dict[int, list[Record]], dict[str, list[Record]], Lost]:
    """Weighings by lamb (keyed by the lamb's row) and by ewe, and those whose animal is not known."""
    by_key = lamb_keys(lambs)
    of_lamb: dict[int, list[Record]] = defaultdict(list)
    of_ewe: dict[str, list[Record]] = defaultdict(list)
    lost: Lost = []
    for row in rows:
        written = row.text("animal")
        if written is None:
            continue
        ewe_first = row["occasion"] is Weighed.MATING
        lamb = None if ewe_first else find_lamb(written, names, by_key)
        match = names.match(written)
        if lamb is not None:
            of_lamb[lamb.record.row].append(row)
        elif match.found:
            of_ewe[match.key].append(row)
        else:
            lost.append((row, "animal", written))
    return of_lamb, of_ewe, lost


def _with_weights(lamb: Lamb, of_lamb: Mapping[int, list[Record]]) -> Lamb:
    weights = of_lamb.get(lamb.record.row) if lamb.named else None
    if not weights:
        return lamb
    ordered = tuple(sorted(weights, key=lambda row: row.day("date") or date.max))
    return Lamb(**{**lamb.__dict__, "weights": ordered})


def _treatments(rows: Iterable[Record], names: EweNames) -> tuple[dict[str, list[Record]], Lost]:
    """Treatments of single ewes by ewe, and those whose ewe is not known."""
    found: dict[str, list[Record]] = defaultdict(list)
    lost: Lost = []
    for row in rows:
        written = row.text("animal")
        if row["given_to"] is not TreatedFor.EWE or written is None:
            continue
        match = names.match(written)
        if match.found:
            found[match.key].append(row)
        else:
            lost.append((row, "animal", written))
    return dict(found), lost
