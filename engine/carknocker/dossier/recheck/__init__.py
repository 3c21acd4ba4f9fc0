"""A dossier checked again: read as a stranger's file, worked out anew, compared key by key."""
