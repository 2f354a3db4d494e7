"""Where the season stands and what is missing, in sentences."""

from pathlib import Path

from template_builder.layout.choices import Verdict
from template_builder.layout.sheets import SHEETS
from template_builder.layout.words import shown, so_many, so_many_are
from workbook.results.litters.figures import Figure
from workbook.results.pipeline import Result
from workbook.rules.rule import Severity
from workbook.season.season import Season

FEW_WORD = "few"
NOTHING_WRITTEN = ("Nothing that happened has been written in this workbook yet: no lambing, no lamb, no loss. So there are the "
                   "figures of the scan, and no others, and no decisions.")
SHARE_UNIT = "%"
FOOTER_FILE = 80  # characters of the file's name that fit in a footer
VERDICT_ORDER = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH, Verdict.UNKNOWN, Verdict.KEEP)


def label(figure: Figure) -> str:
    """What it is called, with its unit where that is no per cent, and whether it is so far."""
    unit = f", {figure.unit}" if figure.unit and figure.unit != SHARE_UNIT else ""
    return figure.label + unit + (", so far" if figure.so_far else "")


def moment_words(season: Season) -> str:
    return f"As of {shown(season.as_of)}"


def footer_words(season: Season) -> str:
    """File and moment, as they stand at the foot of each printed page."""
    return f"{Path(season.file).name[:FOOTER_FILE]}, as of {shown(season.as_of)}"


def stage_words(result: Result) -> str:
    """How far the season has come, and what that means for the figures."""
    lambed, expected = _lambed(result.season)
    have = so_many_are(lambed, "ewe", "has", "have")
    match result.stage:
        case "before lambing":
            return f"Before lambing: none of {expected} ewes expected to lamb has lambed; there is little to see yet."
        case "nothing written":
            return NOTHING_WRITTEN
        case "so far":
            return (f"So far: {lambed} of {expected} ewes expected to lamb have lambed; figures are so far and decisions "
                    "provisional.")
        case "lambed" | "weaned" if not expected and result.groups:
            return f"Known by counts only: {result.stage}; nothing is recorded by ewe, so there are no decisions."
        case "lambed":
            return f"Lambing is over ({have} lambed); nothing recorded at weaning yet, so decisions are provisional."
        case _:
            return f"Weaned: {have} lambed and their lambs are weaned; the figures are for the whole season."


def _lambed(season: Season) -> tuple[int, int]:
    """Ewes that have lambed, and those with the ones that still may."""
    ewes = season.flock.ewes.values()
    lambed = sum(ewe.lambed for ewe in ewes)
    to_lamb = sum(not (ewe.lambed or ewe.aborted or ewe.gone) and ewe.scanned != 0 for ewe in ewes)
    return lambed, lambed + to_lamb


def problem_words(result: Result) -> str:
    """How many problems were found, by severity."""
    if not result.problems:
        return "No problems found in the records."
    severities = [problem.rule.severity for problem in result.problems]
    parts = [so_many(severities.count(severity), severity.value) for severity in Severity if severity in severities]
    return f"{so_many(len(severities), 'problem')} found in the records ({', '.join(parts)}): see To correct."


def missing_words(result: Result) -> list[str]:
    """What was not recorded or could not be looked at; figures that rest on it are weaker for it."""
    season = result.season
    notes = [table.note for table in (*result.losses, *result.ewe_losses) if table.incomplete]
    words = list(dict.fromkeys(part for note in notes for part in note.split("; ")))
    if not any(group.whole("ewes_to_ram") for group in season.rows("groups")):
        words.append("ewes to the ram not stated on Groups, so nothing is given per ewe to the ram")
    by_count = [group.group for group in result.groups if group.by_count]
    if result.by_counts_alone:
        words.append(f"births, causes of loss and single ewes not recorded in {', '.join(by_count)}, known by counts only")
    elif by_count:
        words.append(f"known by counts only, so in no figure per ewe and no table of Losses: {', '.join(by_count)}")
    if season.missing:
        names = [column_words(address) for address in sorted(season.missing)]
        words.append(f"{so_many(len(names), 'column')} not found ({_few_of(names)})")
    if result.skipped:
        titles = [skipped.rule.title.lower() for skipped in result.skipped]
        words.append(f"{so_many(len(titles), 'check')} not run for want of columns ({_few_of(titles)})")
    return list(dict.fromkeys(words))


def column_words(address: str) -> str:
    """A column as people see it: "Lambs: Lamb tag" for "lambs.tag"."""
    sheet_id, _, id = address.partition(".")
    return next((f"{sheet.title}: {sheet.column(id).title}" for sheet in SHEETS if sheet.id == sheet_id), address)


def _few_of(words: list[str], most: int = 4) -> str:
    more = len(words) - most
    return ", ".join(words[:most]) + (f" and {more} more" if more > 0 else "")


def interval_words(figure: Figure) -> str:
    """The 95 % interval of a figure as "31.2 to 44.5"; empty where there is none or too few animals."""
    if figure.low is None or figure.high is None or figure.few:
        return ""
    return f"{figure.low:.1f} to {figure.high:.1f}"
