"""Ways in for who does not type commands."""
