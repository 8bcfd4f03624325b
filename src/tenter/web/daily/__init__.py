"""A sealed backup on each day, in a folder of the owner's."""
