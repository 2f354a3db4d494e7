"""The entry sheets in the order of the year."""

from template_builder.layout.columns import Sheet
from template_builder.layout.sheets.ewes import EWES
from template_builder.layout.sheets.flock import GROUPS, POLICY, SEASON
from template_builder.layout.sheets.lambing import LAMBING
from template_builder.layout.sheets.lambs import LAMBS
from template_builder.layout.sheets.later import ANSWERS, COUNTS, EWE_CHECK, TREATMENTS, WEIGHTS

SHEETS: tuple[Sheet, ...] = (
    SEASON, GROUPS, EWES, LAMBING, LAMBS, WEIGHTS, COUNTS, EWE_CHECK, TREATMENTS, POLICY, ANSWERS,
)
