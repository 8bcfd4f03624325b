"""What it comes to, and why."""
