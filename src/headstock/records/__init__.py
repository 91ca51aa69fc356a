"""Records: an append-only database of what was done, chained and signed, so that nobody alters it unseen."""
