"""What would have to be otherwise: readings, work, dates. All of it is judged, nothing is guessed."""
