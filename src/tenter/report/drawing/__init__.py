"""What draws a paper."""
