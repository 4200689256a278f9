"""Phrases with one meaning each: which words mean something here, and what. In: tokens. Out: `Mention`s. Knows no clauses."""
