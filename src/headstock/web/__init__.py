"""Pages for a browser. No rule of the trade and no formula lives here."""
