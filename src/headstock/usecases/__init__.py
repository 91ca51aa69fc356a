"""One module per question a person asks."""
