"""Ground floor: errors, reading of files with line numbers, sources, quantities.

Import from the modules themselves; nothing is loaded here, so that a command which only prints its help stays quick.
"""
