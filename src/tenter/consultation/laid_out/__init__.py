"""The kit under a method."""
