"""Drawings of an answer: each one a pure function that returns its SVG with the same facts in words."""
