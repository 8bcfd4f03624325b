"""Pictures that come in by a folder on this machine."""
