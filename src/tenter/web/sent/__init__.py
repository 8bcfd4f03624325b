"""What a page sends, made into what is meant."""
