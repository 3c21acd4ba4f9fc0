"""The question `request`: the request to the host for a move, as a page to be completed and signed by the owner."""
