"""Unit types: what hangs on a unit and on each of its ends. Data with schema and source."""
