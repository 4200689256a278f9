"""The order of the work, written once: take in, hear, read, check, view. Knows every room below it, no terminal and no page."""
