"""What measurements say, as it is written: typed, and read where it is written. Colours of a face, and of a series."""
