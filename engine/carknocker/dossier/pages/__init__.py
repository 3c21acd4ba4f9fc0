"""The pages of the other questions."""
