"""The language of screens and papers: how each writes dates, and which one a studio has chosen."""
