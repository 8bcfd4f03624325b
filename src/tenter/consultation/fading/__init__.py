"""How cloths have changed since they were first read, and what that touches."""
