"""The day, and the way from the door to the bench."""
