"""One module per page: what it shows, and what can be sent from it."""
