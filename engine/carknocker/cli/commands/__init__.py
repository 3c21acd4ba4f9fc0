"""What each command takes, a module each. What it needs is imported when it runs."""
