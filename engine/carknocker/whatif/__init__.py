"""Hypothetical cars and moves, and the value or the day at which an answer flips. All is judged, nothing guessed."""
