"""What a studio writes itself."""
