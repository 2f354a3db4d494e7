"""A workbook's raw XML held against what spreadsheet programs accept without repairing, losing or misreading anything."""
