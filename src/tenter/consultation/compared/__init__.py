"""Two sittings, two analysts, two palettes against one another."""
