"""Railway rules, test methods and words: data with schema and source, never constants in code."""
