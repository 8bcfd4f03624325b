"""Tenter in the browser: the whole sitting on the consultant's own machine."""
