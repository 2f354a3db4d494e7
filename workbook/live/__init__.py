"""The values of the workbook's own formulas, computed in Python, so that they are there before any spreadsheet reckons."""
