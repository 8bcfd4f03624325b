"""What a camera answers to."""
