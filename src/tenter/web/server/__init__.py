"""What runs under every page: folder, disk, clock, log and lock."""
