"""The demo studio as a sandbox."""
