"""What was recorded: records that know their cells, ewes and lambs joined, and facts every result needs, said once."""
