"""What follows for the cloths of the kit."""
