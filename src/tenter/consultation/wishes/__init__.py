"""What a client wants."""
