"""One change at a time in the code that judges records, to see whether a test notices it."""
