"""Many cars on one page: a line for each."""
