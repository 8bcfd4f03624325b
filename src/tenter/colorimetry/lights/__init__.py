"""Lights as such: how they are made, what colour they have, and how well colours can be seen under them."""
