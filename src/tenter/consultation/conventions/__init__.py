"""The method file."""
