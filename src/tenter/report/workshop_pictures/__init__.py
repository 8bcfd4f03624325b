"""Pictures of the workshop: what a kit covers, how a cloth changed, a light, two cloths beside one another."""
