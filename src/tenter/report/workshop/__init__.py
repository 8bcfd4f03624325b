"""Papers of the workshop: the kit's health, a light, and labels for the cloths."""
