"""What changed from one edition to another, and which cars feel it."""
