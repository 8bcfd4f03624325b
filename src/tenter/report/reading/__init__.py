"""The verdict's page and the studio's sheet, said once."""
