"""What is handed to a person: report, marked copy, summary workbook, page of rules."""
