"""Pure functions, one file a topic."""
