"""Colour arithmetic: arrays in, arrays out. Nothing here knows of clients, cloths or files."""
