"""Closed vocabularies, and the trade's words."""
