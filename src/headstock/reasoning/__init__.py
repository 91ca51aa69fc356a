"""Logic without a railway word: variables, steps, constraints, plans, checks."""
