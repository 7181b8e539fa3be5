"""What to do about it: candidate shots, their spreads, scores, ranking and the reasons."""
