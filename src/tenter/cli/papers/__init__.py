"""What a client takes home."""
