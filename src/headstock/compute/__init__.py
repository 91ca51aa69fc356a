"""Execution: runs side by side, and answers kept by content."""
