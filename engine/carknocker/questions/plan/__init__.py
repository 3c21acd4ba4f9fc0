"""The smallest set of work that makes the car ready, in workable order."""
