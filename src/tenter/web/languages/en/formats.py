"""Dates in English, day first, and the clock in 24 hours: '30 November 2026, 14:05'."""

DATE_FORMAT = "j F Y"
TIME_FORMAT = "H:i"
DATETIME_FORMAT = "j F Y, H:i"
MONTH_DAY_FORMAT = "j F"
SHORT_DATE_FORMAT = "j M Y"
SHORT_DATETIME_FORMAT = "j M Y, H:i"
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d/%m/%Y"]  # the first is what a field of a browser holds
