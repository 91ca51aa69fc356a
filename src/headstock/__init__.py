"""Headstock: coupling, uncoupling and brake testing of multiple-unit trains.

The package root imports nothing, so that `--help` and a shell's completion answer at once.
"""

__version__ = "0.1.0"
