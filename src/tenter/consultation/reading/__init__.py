"""What the answers say."""
