"""Pictures' files, measured beside the server."""
