"""Answers as plain values, one module a question: what commands print as JSON and what the web answers."""
