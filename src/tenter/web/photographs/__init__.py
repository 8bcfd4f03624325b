"""Photographs of clients."""
