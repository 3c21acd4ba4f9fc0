"""The command that starts the service."""
