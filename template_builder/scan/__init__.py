"""A scanning list in any shape: what it says of each ewe, what was understood, what could not be placed."""
