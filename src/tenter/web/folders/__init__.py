"""A folder of this computer, chosen by opening one after the other."""
