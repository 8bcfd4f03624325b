"""The studio's own snippets and card strips: what is in which drawer, what a palette takes of them, what to reorder."""
