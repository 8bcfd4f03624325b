"""Readings and what holds for files of them, as several tests need them."""

from tenter.colorimetry.measurement import D65_10
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.consultation.readings.reading_files import parse_readings
from tenter.consultation.readings.reading_rows import ReadingDefaults

DAY = "2026-11-29"
HOW = ReadingCircumstances(day=DAY)


def defaults(conditions=D65_10, cloth="", **how):
    return ReadingDefaults(ReadingCircumstances(**{"day": DAY, **how}), conditions, cloth)


def parsed(text, conditions=None, cloth="", **how):
    content = text if isinstance(text, bytes) else text.encode()
    return parse_readings(content, "new.csv", defaults(conditions, cloth, **how))


def reading(cloth="D001", lab=(50.0, 20.0, 10.0), conditions=D65_10, **how):
    return ClothReading(
        cloth=cloth,
        lab=lab,
        conditions=conditions,
        how=ReadingCircumstances(**{"day": DAY, **how}),
        source="a.csv",
        row=2,
    )
