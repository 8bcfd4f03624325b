"""What is let go of, on the disk and in memory."""
