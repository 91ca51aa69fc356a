"""Print: job sheets and drawings, made from finished answers."""
