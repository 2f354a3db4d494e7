"""Decisions as formulas: what moves at the meeting when a limit is changed or somebody decides otherwise."""
