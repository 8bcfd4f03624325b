"""Garments and wardrobes."""
