"""The colours of a cloth, a print or a rack."""
