"""Swatches on paper: sheets at exact size, what a printer can reach, and how it is corrected once."""
