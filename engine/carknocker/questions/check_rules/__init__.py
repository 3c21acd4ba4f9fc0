"""Are the editions fit to judge with? Their own examples, run."""
