"""Commands of the web app that need no browser."""
