"""The studio's sheet: why the result is what it is, with every number. `report.content` says it, this draws it."""
