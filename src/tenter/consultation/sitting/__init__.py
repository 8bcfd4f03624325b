"""The sitting as it goes."""
