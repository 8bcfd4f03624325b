"""Invented readings of a few demo cloths over two years: two have changed, one spreads, one was read once."""

from tenter.colorimetry.measurement import D65_10
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.consultation.readings.wash_log import Wash

_READ = (
    ("D061", "2025-05-04", (46.3, 43.6, 36.1), "along"),
    ("D061", "2025-05-04", (46.1, 43.9, 36.3), "along"),
    ("D061", "2025-11-04", (47.0, 42.3, 35.5), ""),
    ("D061", "2026-11-04", (50.1, 38.2, 33.2), ""),
    ("D061", "2026-11-04", (50.3, 38.4, 33.0), ""),
    ("D001", "2025-05-04", (82.1, 15.7, 25.5), ""),
    ("D001", "2026-11-04", (82.7, 9.8, 25.0), ""),
    ("D002", "2025-05-04", (74.0, 25.0, 30.0), ""),
    ("D003", "2026-05-04", (60.0, 10.0, 20.0), "along"),
    ("D003", "2026-05-04", (60.2, 10.0, 20.0), "along"),
    ("D003", "2026-05-04", (55.0, 10.0, 20.0), "against"),
)


def read_over_years() -> ReadingBook:
    """Return the book of them, with two washes."""
    readings = [
        ClothReading(cloth=cloth, lab=lab, conditions=D65_10, how=ReadingCircumstances(day=day, direction=direction))
        for cloth, day, lab, direction in _READ
    ]
    washes = (Wash("D061", "2025-12-10", "hand"), Wash("D061", "2026-06-10", "hand"))
    return ReadingBook(tuple(readings), washes)
