"""Several photographs of one face."""
