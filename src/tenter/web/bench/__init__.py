"""The bench, the arrival and the show round."""
