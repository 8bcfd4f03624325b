"""The light that a client is seen in: read from a file or a meter, checked, compared, and what it does to a kit."""
