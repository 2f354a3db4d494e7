"""The tabs of the summary workbook, in their order."""

SUMMARY = "Summary"
LITTER_ACCOUNT = "Litter account"
SCANNING = "Scanning"
LOSSES = "Losses"
PROBLEM_EWES = "Problem ewes"
MOTHERING = "Mothering"
EWE_DECISIONS = "Ewe decisions"
POLICY = "Policy"
QUERIES = "Queries"
RECORDS_EWES = "Records ewes"
RECORDS_LAMBING = "Records lambing"
RECORDS_LAMBS = "Records lambs"
RECORDS_OTHER = "Records other"
METHOD = "Method"

TABS = (
    SUMMARY, LITTER_ACCOUNT, SCANNING, LOSSES, PROBLEM_EWES, MOTHERING, EWE_DECISIONS, POLICY, QUERIES, RECORDS_EWES,
    RECORDS_LAMBING, RECORDS_LAMBS, RECORDS_OTHER, METHOD,
)
