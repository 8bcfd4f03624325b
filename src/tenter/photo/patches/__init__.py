"""What patches are, where they stand, and what code values become by them."""
