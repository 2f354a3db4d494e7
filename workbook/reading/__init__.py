"""From a file to the season it holds: every cell becomes a value that knows its place, or a problem in words."""
