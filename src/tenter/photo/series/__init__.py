"""Drapes in turn, A-B-A-B."""
