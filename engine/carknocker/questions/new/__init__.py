"""Commented starters: a record, a move, a circular."""
