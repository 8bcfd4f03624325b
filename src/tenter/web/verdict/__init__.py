"""The verdict, the palette and what is handed over."""
