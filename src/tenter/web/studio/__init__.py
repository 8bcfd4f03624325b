"""The studio itself."""
