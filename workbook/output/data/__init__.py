"""What a program reads of a season: the JSON of check and analyse, each field declared once with what it means."""
