"""What the templates may ask for beyond Django's own."""
