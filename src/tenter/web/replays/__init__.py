"""Sittings replayed while nobody sits, and what they came to."""
