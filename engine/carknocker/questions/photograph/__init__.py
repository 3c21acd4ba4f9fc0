"""The question `photograph`: puts a photograph on record."""
