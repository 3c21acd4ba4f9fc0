"""How an answer is written: the page as plain data, and its writers for text, Markdown, HTML, PDF and JSON."""
