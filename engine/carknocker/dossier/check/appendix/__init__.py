"""What a stranger looks up after the first page: every criterion, serials, history, tests, evidence, rules."""
