"""JSON Schemas of the files, made from the vocabulary."""
