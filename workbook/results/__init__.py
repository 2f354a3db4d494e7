"""What follows from a season: litters accounted for, scores, advice; the pipeline joins them in one result."""
