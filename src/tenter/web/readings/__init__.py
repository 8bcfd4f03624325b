"""Readings of cloths over time."""
