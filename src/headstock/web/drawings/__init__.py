"""Drawings for pages, by the same grammar as on paper, in the page's own palette."""
