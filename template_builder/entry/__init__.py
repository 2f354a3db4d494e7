"""What happens while typing: lists and limits, and marks from the same row."""
