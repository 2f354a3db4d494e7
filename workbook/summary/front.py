"""Summary: the figures in short, the pictures, and what to do next. The workbook opens here."""

from collections.abc import Mapping, Sequence

from template_builder.addresses import letters
from template_builder.choices import Verdict
from template_builder.excel import Book
from template_builder.look import ONE_DECIMAL, SMALL, STRONG, SUBTITLE, TOTAL, WARNING, WHOLE, WRAPPED
from workbook.litters.figures import Figure
from workbook.pipeline import Result
from workbook.summary.charts import columns, lambings_per_day, waterfall
from workbook.summary.losses import LABEL_COLUMN, LOST_COLUMN, SHARE_COLUMN, Chartable, interval, worst
from workbook.summary.names import EWE_DECISIONS, LOSSES, METHOD, PROBLEM_EWES, QUERIES, SUMMARY
from workbook.summary.places import Places
from workbook.summary.tab import Cell, Head, Link, Shown, Tab
from workbook.summary.words import (
    FEW_WORD,
    interval_words,
    missing_words,
    moment_words,
    problem_words,
    stage_words,
    verdict_counts,
)
