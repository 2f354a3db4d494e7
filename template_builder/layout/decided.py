"""What the meeting writes into the summary workbook: the columns that are filled in there and read back, said once."""

from template_builder.layout.choices import Verdict
from template_builder.layout.columns import ROW_KEY
from template_builder.layout.sheets.flock import POLICY

# The words that a person may choose from, strictest first.
FINAL = (Verdict.CULL, Verdict.DRAFT, Verdict.WATCH, Verdict.KEEP)

EWE, KEY = "Ewe", ROW_KEY.title
OWN_WORD, WHY, COMMENT = "Your decision", "Your reason", "Adviser's comment"
LAMB, KEEP = "Ewe lamb", "Keep her"  # on Replacements
READ_BACK = (EWE, OWN_WORD, WHY, COMMENT, KEY)

# Columns of Policy that can be changed at the meeting, by id, under the headings they have in the season workbook.
CHANGEABLE = ("on", "compare", "limit", "action", "at_mating", "when")
RULE_TITLE = POLICY.column("rule").title
POLICY_TITLES = {id: POLICY.column(id).title for id in CHANGEABLE}

