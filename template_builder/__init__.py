"""What a season workbook looks like: its sheets, lists, settings, rules as data, and how it is written."""
