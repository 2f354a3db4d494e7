"""The summary workbook, one module for each tab."""
