"""All of a result as data, and the schema of everything that is written so."""

import json
from collections import Counter
from typing import NamedTuple

from template_builder.layout.policy import WEIGHTS
from workbook.output.data.animals import EWE, LAMB, PROBLEM_EWE, Her, Weighed
from workbook.output.data.flock import (
    ACCOUNT,
    CONTRAST,
    DIFFERENCE,
    FIGURE,
    GAP,
    GROUP,
    LIFE_STAGE,
    LOSSES,
    RULE,
    SCANNED,
    WEIGHT,
    Scanned,
    Weighted,
)
from workbook.output.data.problems import CHECK, VERSION, Report
from workbook.output.data.shapes import MOMENT, TEXT, WHOLE, Field, Schema, Shape, always, by_name, each, schemas, word
from workbook.results.litters.figures import NOTHING, STAGES
from workbook.results.litters.life_table import life_table
from workbook.results.litters.movements import scan_of
from workbook.results.litters.scanning import scan_table
from workbook.results.pipeline import Result
from workbook.season.groups import Groups
from workbook.season.season import Season

SEASON: Shape[Season] = Shape("season", "The season workbook.", (
    Field("file", TEXT, "Its file."),
    Field("title", TEXT, "Flock and year, as on Season."),
    Field("as_of", MOMENT, "The moment the figures are for."),
))
SCAN: Shape[Result] = Shape("scan", "What was scanned, of ewes recorded by number.", (
    Field("ewes_with", by_name(WHOLE), "Ewes by the lambs they were scanned with.", lambda result: _ewes_with(result.season)),
    Field("born", each(SCANNED), "Scan against birth; empty while nothing is written.",
          lambda result: _scanned(result)),
))

ANALYSE: Shape[Result] = Shape("analyse", "What `analyse --json` writes.", (
    Field("version", always(VERSION), "The version of this shape; it is raised when a field goes or changes its meaning.",
          lambda _: VERSION),
    Field("season", SEASON, "The season workbook."),
    Field("stage", word(STAGES), "How far the season is."),
    Field("figures", each(FIGURE), "Every figure of the flock."),
    Field("account", ACCOUNT, "The litter account: every scanned place and every lamb in one class.",
          lambda result: result.account.lines),
    Field("groups", each(GROUP), "The account of each group."),
    Field("losses", each(LOSSES), "Losses of live-born lambs, split each way."),
    Field("ewe_losses", each(LOSSES), "Losses of ewes, split each way."),
    Field("life_table", each(LIFE_STAGE), "Losses of live-born lambs by stage.", lambda result: life_table(result.season)),
    Field("scan", SCAN, "What was scanned.", lambda result: result),
    Field("problem_ewes", each(PROBLEM_EWE), "Ewes that need a look, most urgent first."),
    Field("policy", each(RULE), "The selection rules.", lambda result: result.season.policy.rules),
    Field("score_weights", each(WEIGHT), "The numbers scores are made with.",
          lambda result: [Weighted(one, result.season.policy.weights[one.id]) for one in WEIGHTS]),
    Field("lambs", each(LAMB), "Lambs weighed at weaning.", lambda result: _lambs(result)),
    Field("ewes", each(EWE), "Every ewe recorded by number.",
          lambda result: [Her(ewe, result) for ewe in result.season.flock.ewes.values()]),
    Field("gaps", each(GAP), "The biggest gaps, in lambs."),
    Field("contrasts", each(CONTRAST), "Classes of lambs compared two by two."),
    Field("differences", each(DIFFERENCE), "Which splits differ in losses by more than chance.",
          lambda result: [table.difference for table in result.losses if table.difference]),
))


def _ewes_with(season: Season) -> dict[int, int]:
    groups = Groups.of(season)
    scans = (scan_of(ewe) for ewe in season.flock.ewes.values() if not groups.counted_with_group(ewe))
    return dict(sorted(Counter(scan for scan in scans if scan is not None).items()))


def _scanned(result: Result) -> list[Scanned]:
    table = {} if result.stage == NOTHING else scan_table(result.season)
    return [Scanned(*pair, ewes) for pair, ewes in table.items()]


def _lambs(result: Result) -> list[Weighed]:
    known = result.rearing.lambs.lambs
    return [Weighed(lamb, one) for lamb in result.season.flock.lambs if lamb.named and (one := known.get(lamb.record.row))]


class OneFile(NamedTuple):
    """What is written of one file of a folder."""

    path: str
    kind: str
    words: str
    check: Report | None = None
    analyse: Result | None = None


FILE: Shape[OneFile] = Shape("file", "A spreadsheet of a folder.", (
    Field("path", TEXT, "Its path, the folder as it was given in front."),
    Field("kind", TEXT, "What it is, as the index of the folder says."),
    Field("words", TEXT, "What is wrong with one that could not be read; else empty."),
    Field("check", CHECK.or_null(), "The problems of a season workbook, where `check` was asked; else null."),
    Field("analyse", ANALYSE.or_null(), "The figures of a season workbook, where `analyse` was asked; else null."),
))
FILES: Shape[tuple[OneFile, ...]] = Shape("folder", "What `check FOLDER --json` and `analyse FOLDER --json` write.", (
    Field("version", always(VERSION), "The version of this shape; it is raised when a field goes or changes its meaning.",
          lambda _: VERSION),
    Field("files", each(FILE), "Every spreadsheet in the folder, by name.", lambda files: files),
))


def schema() -> Schema:
    """The schema of what check and analyse write: each is one of its parts."""
    tops = (CHECK, ANALYSE, FILES)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Lambing workbook: figures and problems as JSON",
        "description": "Dates are ISO, text is UTF-8, a number that is not defined is null.",
        "anyOf": [{"$ref": f"#/$defs/{top.name}"} for top in tops], "$defs": schemas(tops),
    }


def schema_json() -> str:
    return json.dumps(schema(), ensure_ascii=False, indent=1)
