"""How an answer is written: as JSON, by one encoder."""
