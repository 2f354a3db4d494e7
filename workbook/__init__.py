"""What a filled-in season workbook says: read, check, account for every lamb, score, advise, report."""
