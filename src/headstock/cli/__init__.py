"""The text face: commands, tables, exit statuses. No rule of the trade lives here."""
