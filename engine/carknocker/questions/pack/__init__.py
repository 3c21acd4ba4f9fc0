"""The question `pack`: one file with all that a stranger needs to work an answer out again."""
