"""What hangs on a unit and its ends: one module per kind of thing, each with its data, states, acts and drawing."""
