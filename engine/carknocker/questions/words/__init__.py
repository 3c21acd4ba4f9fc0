"""The question `words`: which words, keys and sections a record, a sheet and a move may use."""
