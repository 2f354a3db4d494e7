"""Scores of ewes, each made of parts that add up."""
