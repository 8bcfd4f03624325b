"""The studio’s own devices on the room’s network."""
