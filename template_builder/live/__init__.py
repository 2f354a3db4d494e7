"""Sheets of formulas: what the workbook itself shows while people write in it. Each live cell is declared once, as data."""
