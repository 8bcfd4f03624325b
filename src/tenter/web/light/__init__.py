"""The light that the studio drapes in."""
