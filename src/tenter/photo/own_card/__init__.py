"""Our own printable card."""
