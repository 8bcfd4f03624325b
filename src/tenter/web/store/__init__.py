"""Sittings between rows and objects."""
