"""Limits."""
