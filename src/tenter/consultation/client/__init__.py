"""What is known of a client before the first answer."""
