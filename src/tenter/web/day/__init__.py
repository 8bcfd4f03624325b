"""The day: who comes, who sits, and the way to the bench."""
