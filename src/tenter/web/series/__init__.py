"""Two cloths in turn."""
