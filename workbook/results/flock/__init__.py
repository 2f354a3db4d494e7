"""The flock as a whole: its ages, who is wanted next year, who goes next, which ewe lambs come in."""
