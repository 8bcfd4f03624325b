"""Who may see what, what was agreed, until when it is kept."""
