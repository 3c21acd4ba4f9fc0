"""What changed between two judgements, and which entry did it."""
