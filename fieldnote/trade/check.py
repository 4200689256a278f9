"""Check."""
