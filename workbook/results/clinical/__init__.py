"""One reading of what was recorded about each ewe and lamb, on which lists, decisions and scores all rest."""
