"""Colours with names: what palettes and garments are made of."""
