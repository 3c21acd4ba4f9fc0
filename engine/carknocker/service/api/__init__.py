"""The service for programs: the questions of the command line in JSON."""
