"""A file's bytes made into an upright picture, in a process of its own."""
