"""Photographs at rest."""
