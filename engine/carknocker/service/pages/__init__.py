"""The service for people: pages made on the server, without a script."""
