"""The value of a formula, worked out from the formula itself: the closed language of live cells, whole columns at once."""
