"""The light that a cloth, a cape or a wall throws on a face: how much, where, and whether it can be seen."""
