"""What was seen, written down and never changed."""
