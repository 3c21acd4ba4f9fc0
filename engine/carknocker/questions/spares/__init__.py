"""Which spare covers which position."""
