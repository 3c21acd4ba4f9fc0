"""The command that writes all that the service keeps into one file."""
