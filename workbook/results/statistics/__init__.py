"""Figures that know nothing of sheep: proportions, agreement, least squares."""
