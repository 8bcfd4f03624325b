"""Dates in German, as DIN 5008 writes them: '30. November 2026, 14:05', short '30.11.2026'; from memory."""

DATE_FORMAT = "j. F Y"
TIME_FORMAT = "H:i"
DATETIME_FORMAT = "j. F Y, H:i"
MONTH_DAY_FORMAT = "j. F"
SHORT_DATE_FORMAT = "d.m.Y"
SHORT_DATETIME_FORMAT = "d.m.Y, H:i"
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d.%m.%Y"]  # the first is what a field of a browser holds
