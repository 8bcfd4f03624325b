"""Kit, snippets and wardrobes."""
