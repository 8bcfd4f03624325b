"""Phones learned once."""
