"""What the papers of a sitting are made of."""
