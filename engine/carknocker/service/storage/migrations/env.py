"""Runs the migrations on the connection that the service opened."""

from alembic import context

from carknocker.service.storage.tables import metadata

context.configure(connection=context.config.attributes["connection"], target_metadata=metadata)
context.run_migrations()
