"""Studies: what is measured of the program, and what scripts write into the repository."""
