"""What pages and the terminal say beside the papers."""
