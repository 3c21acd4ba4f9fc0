"""The report service: one address for owner, helpers, shop and the host's inspector, over the same questions as the
command line."""
