"""Kits, methods and photographs of cloths."""
