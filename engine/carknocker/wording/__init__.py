"""All words about parts, verdicts, limits, margins, evidence, work, duties, sources and days. What is above this room
puts them together, and never takes a text apart."""
