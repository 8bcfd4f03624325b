"""A face from a photograph: find the card and the face, calibrate, and say how sure each colour is."""
