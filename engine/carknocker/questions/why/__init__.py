"""why and why not: what an answer rests on, down to the readings."""
