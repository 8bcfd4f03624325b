"""Photographs read and kept."""
