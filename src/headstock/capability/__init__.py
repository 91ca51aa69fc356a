"""What a train or a portion can do: stop, stand, take an impact, pull away, fit."""
