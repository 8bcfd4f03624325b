"""The client's paper, "Your colours": in their own language, and with no matter of the bench."""
