"""The drawers of snippets."""
