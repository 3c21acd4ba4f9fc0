"""Who may do what in the service."""
