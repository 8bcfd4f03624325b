"""What each cloth is worth to the verdict, and what to buy."""
