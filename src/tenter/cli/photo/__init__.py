"""Photographs, cards and phones."""
