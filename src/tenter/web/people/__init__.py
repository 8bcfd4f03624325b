"""Clients and their sittings."""
