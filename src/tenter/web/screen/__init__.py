"""The client's own screen."""
