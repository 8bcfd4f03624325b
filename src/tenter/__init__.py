"""Tenter: measured support for the personal colour consultant."""
