"""The classic card and a grey, from patches to a correction."""
