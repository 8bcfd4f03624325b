"""How Tenter starts from an icon, and how it stops."""
