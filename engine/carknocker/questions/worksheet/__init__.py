"""What to measure for this move, in walking order."""
