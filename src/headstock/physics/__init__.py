"""Formulas: numbers in, numbers out; no railway file and no unit type is known here."""
