"""The rows a season begins with that follows another: its ewes with their histories, groups, settings and rules."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from template_builder.layout.columns import OWN, Row, Value
from template_builder.layout.sheets.left import LEFT
from workbook.carrying.as_last import as_last_season
from workbook.carrying.going import Leaver, leavers, left_row, recommended
from workbook.carrying.history import next_history
from workbook.carrying.not_carried import GROUP_STAYS, STAY, not_carried
from workbook.carrying.said import Said, named
from workbook.results.pipeline import Result
from workbook.season.cells import Record
from workbook.season.decided import Decided
from workbook.season.families import Ewe, Lamb
from workbook.season.season import Policy, Season

_OF_THE_SEASON = ("year", "as_of")  # settings that are set anew
_LAST = "last_"  # settings that tell of the season before
_DATED = re.compile(r"\d{4}: ")


@dataclass(frozen=True)
class Carried:
    """What goes into the season that follows: `ewes` by the key they have in the one past, and who left, by that key too.

    `rows` are those of the other sheets by sheet id, `new` those of ewes that come in, `sent` those
    of ewes decided to go, who may be here all the same. `said` is everything that has to be told
    about it. `same_year` where it is the same season, carried as it stands.
    """

    season: Season
    year: int
    ewes: Mapping[str, Row]
    leavers: Mapping[str, Leaver]
    rows: Mapping[str, Sequence[Row]]
    said: tuple[Said, ...] = ()
    new: tuple[Row, ...] = ()
    sent: Mapping[str, Row] = field(default_factory=dict)
    same_year: bool = False


def next_season(result: Result, year: int, decided: Decided | None = None) -> Carried:
    """A season of that year from the one past and what the meeting decided."""
    season = result.season
    left = leavers(result, decided)
    own_words = decided.own_words if decided else {}
    here = {key: ewe for key, ewe in season.flock.ewes.items()
            if (key not in left or left[key].decided) and _is_one(season, ewe)}
    ewes = {key: {**_ewe(result, ewe, decided), **next_history(result, ewe, own_words.get(key))} for key, ewe in here.items()}
    sent = {key: ewes.pop(key) for key in left if key in ewes}
    new, not_found = _replacements(season, decided.kept if decided else ())
    rows: dict[str, Sequence[Row]] = {
        "season": [*_settings(season), {"row_key": "year", "value": year}, *as_last_season(result)],
        "groups": [_group(row, season.year) for row in season.rows("groups")],
        "policy": policy_rows(decided.policy if decided else season.policy),
        LEFT.id: [*(dict(row.values) for row in season.rows(LEFT.id)),
                  *(left_row(one, season.flock.ewes[key], season.year) for key, one in left.items())],
    }
    said = [*_who_left(left), *_decided(result, decided), *_strangers(season), *not_found, *_came(new), *not_carried(result)]
    return Carried(season, year, ewes, left, rows, tuple(said), tuple(new), sent)


def _is_one(season: Season, ewe: Ewe) -> bool:
    """Whether somebody wrote of her as of a ewe of the flock: a number that stands only beside a foster lamb or a treatment may
    be a slip, and one that fits two ewes is none of its own."""
    if ewe.record is None and season.flock.names.fitting(ewe.key):
        return False
    return ewe.record is not None or ewe.lambing is not None or bool(ewe.lambs)


def as_called(ewe: Ewe) -> str:
    """Her number as it was written."""
    rows = [ewe.lambing, *(lamb.record for lamb in ewe.lambs)] if ewe.record is None else []
    return next((name for row in rows if row and (name := row.text("ewe"))), ewe.name)


def _ewe(result: Result, ewe: Ewe, decided: Decided | None) -> Row:
    """What stays of a ewe's row: who she is, and a person's own columns."""
    row: dict[str, Value] = {"ewe": as_called(ewe)}
    if ewe.record is not None:
        row |= {column: ewe.record.written(column) for column in STAY}
        row |= {column: value for column, value in ewe.record.values.items() if column.startswith(OWN)}
    comment = decided.comments.get(ewe.key) if decided else None
    notes = [_dated(row.get("notes"), result.season.year), f"{result.season.year} meeting: {comment}" if comment else ""]
    row["notes"] = "; ".join(filter(None, notes))
    return {column: value for column, value in row.items() if value not in (None, "")}


def _dated(notes: Value, year: int) -> str:
    """A note with the year it is from before it, so that nobody takes it for this season's."""
    words = notes if isinstance(notes, str) else ""
    return words if not words or _DATED.match(words) else f"{year}: {words}"


def _settings(season: Season) -> Iterator[Row]:
    for id, row in season.settings.rows.items():
        value = row.written("value")
        if value is not None and id not in _OF_THE_SEASON and not id.startswith(_LAST):
            yield {"row_key": id, "value": value}


def _group(row: Record, year: int) -> Row:
    """A group with what it is, not what happened to it. Its notes bear their year."""
    kept: dict[str, Value] = {column: row.written(column) for column in GROUP_STAYS}
    kept |= {column: value for column, value in row.values.items() if column.startswith(OWN)}
    kept["notes"] = _dated(kept["notes"], year)
    return {column: value for column, value in kept.items() if value not in (None, "")}


def policy_rows(policy: Policy) -> list[Row]:
    """The rows of Policy that say what was set."""
    rules: list[Row] = [
        {"row_key": rule.id, "on": rule.on, "compare": rule.compare, "limit": rule.limit, "action": rule.action,
         "at_mating": rule.at_mating or rule.action, "when": rule.when} for rule in (placed.rule for placed in policy.rules)]
    weights: list[Row] = [{"row_key": id, "limit": limit} for id, limit in policy.weights.items()]
    return rules + weights


def _replacements(season: Season, kept: Sequence[str]) -> tuple[list[Row], list[Said]]:
    rows: list[Row] = []
    missing: list[Said] = []
    for written in kept:
        lamb = season.flock.lamb_called(written)
        if lamb is None or lamb.left_how is not None:
            why = "no lamb answers to it" if lamb is None else f"it left ({lamb.left_how})"
            missing.append(Said(f"the ewe lamb {written} was to be kept, but {why}: write her on Ewes by hand", asks=True))
        else:
            rows.append(_replacement(season, lamb))
    return rows, missing


def _replacement(season: Season, lamb: Lamb) -> Row:
    """A ewe lamb kept, as a ewe: her tag is her number, and the name she had as a lamb is kept beside it."""
    dam = season.flock.ewe(lamb.own_ewe)
    row: Row = {"ewe": lamb.tag or lamb.name, "born_year": season.year, "lambings_before": 0,
                "also_known_as": lamb.name if lamb.tag else None,
                "notes": f"daughter of {dam.name}" if dam else None}
    return {column: value for column, value in row.items() if value is not None}


def _who_left(left: Mapping[str, Leaver]) -> list[Said]:
    gone = [one.words for one in left.values() if not one.decided]
    sent = [one.words for one in left.values() if one.decided]
    return [*named(gone, "died or went, on Left now"), *named(sent, "to go by decision, on Left now")]


def _decided(result: Result, decided: Decided | None) -> Iterator[Said]:
    if decided is None:
        names = recommended(result)
        yield from named(names, "recommended to go, which nobody has decided (--decisions SUMMARY), and in all the same")
        return
    yield from (Said(str(problem), asks=True) for problem in decided.problems)
    otherwise = [f"{decision.name} ({decided.own_words[key].verdict.label})" for key, decision in result.decisions.items()
                 if key in decided.own_words and decision.verdict is not decided.own_words[key].verdict]
    yield from named(otherwise, "decided otherwise than the rules say")


def _strangers(season: Season) -> Iterator[Said]:
    """Numbers that stand on other sheets and not on Ewes."""
    strangers = [ewe for key, ewe in season.flock.ewes.items() if ewe.record is None and not season.flock.names.fitting(key)]
    yield from named((as_called(ewe) for ewe in strangers if _is_one(season, ewe)),
                     "lambed, but not on Ewes: in, without age or tags", asks=True)
    yield from named((as_called(ewe) for ewe in strangers if not _is_one(season, ewe)),
                     "named on other sheets, but not on Ewes and without a lambing: not in", asks=True)


def _came(new: Iterable[Row]) -> list[Said]:
    return named((str(row["ewe"]) for row in new), "replacements born here; write their groups")

