"""Backups made and put back."""
