"""A page as plain data, and its writers: terminal, Markdown, HTML."""
