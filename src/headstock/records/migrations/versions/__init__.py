"""One module for each version of the tables. A released one is never changed."""
