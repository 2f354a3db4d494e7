"""A folder of farms: every spreadsheet in it read, one line for each in an index."""
