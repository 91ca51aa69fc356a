"""The caution that stands over everything: in the terminal's help, over an order of work, on every sheet."""

STANDING_CAUTION = (
    "A planning and training aid. The rule book, local instructions, the maintainer's documents and the person in charge "
    "on the ground come first."
)
