"""What the light of a drape does to a face."""
