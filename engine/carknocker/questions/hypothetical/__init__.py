"""The car as it would be after work that has not been done."""
