"""Clients erased, and what is due."""
