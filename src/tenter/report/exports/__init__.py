"""A palette in the open formats of other programs. Every writer returns text; `formats.exported` returns a file."""
