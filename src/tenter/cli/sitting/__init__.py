"""Sittings and verdicts."""
