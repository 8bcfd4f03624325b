"""Garments: whether a client can wear one, what a wardrobe lacks, and what a purchase would add."""
