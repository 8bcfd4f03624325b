"""Phones learned from photographs of the card."""
