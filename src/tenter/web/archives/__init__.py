"""One client as a file."""
