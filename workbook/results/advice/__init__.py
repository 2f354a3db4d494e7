"""What to do about a ewe: problem ewes while the season runs, selection rules, decisions."""
