"""Whether the card gets the light that the face gets."""
