"""Flocks whose truth is known, drawn by dice, and how often what the program says of their records holds."""
