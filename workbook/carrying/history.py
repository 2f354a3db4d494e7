"""What a ewe's row on Ewes says next season of this one and those before it."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from template_builder.layout.choices import Choice
from template_builder.layout.columns import Row, Value
from template_builder.layout.policy import TEATS, UDDER
from template_builder.layout.sheets.ewes import FAULTS, POOR, YEARS
from template_builder.layout.words import shown
from workbook.results.advice.decisions import Decision
from workbook.results.advice.her_years import MOST_YEARS, HerSeason, her_season, plain
from workbook.results.clinical.looks import Look, last_look
from workbook.results.pipeline import Result
from workbook.season.decided import OwnWord
from workbook.season.families import Ewe
from workbook.season.history import EARLIER_LAMBINGS

# Evidence that says what was wrong with udder or teats, and parts told by their last look.
UDDER_FAULTS: Mapping[str, str] = {
    "mastitis": "mastitis", "dry_later": "a side dry", "dry_at_lambing": "a side dry at lambing",
    "udder_lump_hard": "lump or hard", "udder_damaged": "damaged", "teats_large": "large teats",
    "teats_bad": "blocked or damaged teats",
    "udder_or_teats": "udder or teats called bad", "no_milk": "no milk",
}
LOOKED_AT = (UDDER, TEATS, "mouth", "feet", "condition")
MOST_WARNINGS = 3  # a warning is read at night: so many words of reason and no more
NOTHING_RECORDED = "nothing recorded"


def next_history(result: Result, ewe: Ewe, own_word: OwnWord | None = None) -> Row:
    """The history columns of a ewe for the season after this one, blank ones left out."""
    decision = result.decisions.get(ewe.key)
    now = her_season(result.season, ewe, decision)
    across = result.rearing.across.get(ewe.key)
    row: dict[str, Value] = {
        **dict(_counts(ewe, now)),
        **dict(_last_three(ewe, FAULTS, now, now.fault)), **dict(_last_three(ewe, POOR, now, now.poor)),
        **dict(_in_words(result, ewe, decision)), **dict(_years(result, ewe, now)),
        "past_litter_deviation": None if across is None else round(across.mean, 2),
        "past_litter_seasons": None if across is None else across.seasons,
        "past_warning": _warning(decision, own_word),
    }
    return {column: value for column, value in row.items() if value not in (None, "")}


def _whole(ewe: Ewe, column: str) -> int | None:
    return ewe.record.whole(column) if ewe.record else None


def _text(ewe: Ewe, column: str) -> str:
    return (ewe.record.text(column) if ewe.record else None) or ""


def _counts(ewe: Ewe, now: HerSeason) -> Iterator[tuple[str, Value]]:
    """Lambings before, and over how many of them so many lambs were born and reared."""
    before = _whole(ewe, "lambings_before")
    yield "lambings_before", None if before is None else before + now.lambed
    recorded = _whole(ewe, "past_lambings")
    yield "past_lambings", (recorded or 0) + 1 if now.lambed else recorded
    for column, added in (("past_born", now.born), ("past_reared", now.reared)):
        written = _whole(ewe, column)
        unknown = written is None and bool(recorded)  # lambings are recorded, but not their lambs
        yield column, None if unknown else written if added is None else (written or 0) + added


def _last_three(ewe: Ewe, columns: Sequence[str], now: HerSeason, said: int | None) -> Iterator[tuple[str, Value]]:
    """A lambing this season comes first, and the third before it falls off; a ewe that did not lamb keeps her three."""
    earlier = _earlier(ewe, columns)
    return zip(columns, [said, *earlier] if now.lambed else earlier, strict=False)


def _earlier(ewe: Ewe, columns: Sequence[str]) -> list[int | None]:
    """As written; faults written as a number of her last two lambings only where that says in which."""
    written = [_whole(ewe, column) for column in columns]
    counted = _whole(ewe, "past_faults")
    if columns != FAULTS or counted is None or any(one is not None for one in written):
        return written
    lambings = min(_whole(ewe, "past_lambings") or EARLIER_LAMBINGS, EARLIER_LAMBINGS)
    if 0 < counted < lambings:
        return written
    return [*[int(counted > 0)] * lambings, *written[lambings:]]


def not_known_in_which(ewe: Ewe) -> bool:
    """Whether she had a fault in one of her last two lambings, of which it is not written in which: it cannot be carried."""
    return _whole(ewe, "past_faults") == 1 and all(fault is None for fault in _earlier(ewe, FAULTS))


def _in_words(result: Result, ewe: Ewe, decision: Decision | None) -> Iterator[tuple[str, Value]]:
    year, evidence = result.season.year, decision.evidence if decision else {}
    kind = shown(ewe.prolapse) or ("kind not written" if ewe.prolapsed else "")
    yield "past_prolapse", _joined(_text(ewe, "past_prolapse"), f"{kind} {year}" if kind else "")
    udder = [words for id, words in UDDER_FAULTS.items() if evidence.get(id)]
    yield "past_udder", _joined(_text(ewe, "past_udder"), f"{', '.join(udder)} {year}" if udder else "")
    yield "past_abortion", _joined(_text(ewe, "past_abortion"), str(year) if evidence.get("aborted") or ewe.aborted else "")
    looks = {part: look for part in LOOKED_AT if (look := last_look(ewe, part))}
    yield "past_looks", _looks(looks, year) or _text(ewe, "past_looks")


def _looks(looks: Mapping[str, Look], year: int) -> str:
    """Each part with what was found, and the month of the latest of these looks, the year where no day is written."""
    if not looks:
        return ""
    days = [day for look in looks.values() if (day := look.day)]
    return f"{', '.join(f'{part} {_found(look.value)}' for part, look in looks.items())} ({_month(max(days)) if days else year})"


def _found(value: Value) -> str:
    return value.label if isinstance(value, Choice) else shown(value)


def _month(day: date) -> str:
    return f"{day:%b %Y}"


def _joined(before: str, now: str) -> str:
    return ", ".join(filter(None, (before, now)))


def _years(result: Result, ewe: Ewe, now: HerSeason) -> Iterator[tuple[str, Value]]:
    """A line for each of the last three years; a season of which nothing is recorded says so."""
    lines = [now.line or f"{result.season.year}: {NOTHING_RECORDED}", *(_text(ewe, column) for column in YEARS)]
    return zip(YEARS, lines[:MOST_YEARS], strict=True)


def _warning(decision: Decision | None, own_word: OwnWord | None) -> str:
    """What was found against her, and why she was kept all the same."""
    found = [plain(reason.title) for reason in decision.reasons][:MOST_WARNINGS] if decision else []
    kept = [f"kept: {own_word.why}"] if own_word and own_word.why else []
    return ", ".join((*found, *kept))
