"""A finding in words: the very functions that decided, asked again."""
