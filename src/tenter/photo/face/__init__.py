"""The colours of a face."""
