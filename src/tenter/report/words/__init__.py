"""Words and signs that several papers share."""
