"""Due dates made into ewes lambing and pens needed each day."""
