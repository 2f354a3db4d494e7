"""Workbooks as people return them: what was done to each, and what must be read from it and said about it."""
