"""Where the face is, and what its regions say before the photograph is judged."""
