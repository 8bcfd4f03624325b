"""What the readings of a kit come to: the grey scale, and how long a measuring evening's book and labels take."""

import tempfile
import time
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

from tenter import Kit, Method
from tenter.colorimetry.grey_scale import grey_scale_grade
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.fading.kit_drift import kit_drift
from tenter.consultation.readings.book import add_readings, read_book
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.report.workshop.labels import label_pdf, label_sheets

# CIELAB steps of the grey scale for change in colour, grades 5 to 1: ISO 105-A02:1993, 2.4.
GREY_STEPS = {"5": 0.0, "4-5": 0.8, "4": 1.7, "3-4": 2.5, "3": 3.4, "2-3": 4.8, "2": 6.8, "1-2": 9.6, "1": 13.6}
_DAYS, _PLACES = 3, 3
_FIRST_DAY = date(2026, 1, 31)


def readings_lines() -> Iterator[str]:
    """Yield the figures, line by line."""
    found = [(step, name, grey_scale_grade([50, 0, 0], [50 + step, 0, 0]).step) for name, step in GREY_STEPS.items()]
    yield "grey scale, CIELAB step, its grade as published and as found: " + ", ".join(
        f"{step} {name} {ours}" for step, name, ours in found
    )
    yield from _timed(Kit.demo(), Method.bundled())
    yield from _labels(Kit.demo())


def _labels(kit: Kit) -> Iterator[str]:
    for address in ("", "http://192.168.100.100:8000/kit/1/cloth?cloth="):
        started = time.perf_counter()
        label_pdf(label_sheets(kit.drapes, address=address), _FIRST_DAY.isoformat())
        took = time.perf_counter() - started
        yield f"labels for {len(kit)} cloths, codes with {address or 'the number alone'}: {took:.2f} s (wanted: 2 s)"


def _timed(kit: Kit, method: Method) -> Iterator[str]:
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "kit.readings"
        readings = tuple(_readings(kit))
        started = time.process_time()
        add_readings(book, readings)
        written = time.process_time()
        kept = read_book(book)
        read = time.process_time()
        drift = kit_drift(kept, kit, method)
        done = time.process_time()
    yield f"{len(readings)} readings of {len(kit)} cloths: kept {written - started:.2f} s, read {read - written:.2f} s"
    yield f"drift of {len(drift.drifts)} cloths with the pairs that no longer match: {done - read:.2f} s (wanted: 3 s)"


def _readings(kit: Kit) -> Iterator[ClothReading]:
    """Each cloth on three days a season apart in three places, a little yellower each time."""
    lab = kit.bench_colours.lab
    for day in range(_DAYS):
        for row, cloth in enumerate(kit.ids):
            for place in range(_PLACES):
                when = (_FIRST_DAY + timedelta(days=91 * day)).isoformat()
                how = ReadingCircumstances(day=when, place=f"place {place + 1}")
                L, a, b = lab[row]
                moved = (float(L) + 0.1 * place, float(a), float(b) + 0.5 * day)
                yield ClothReading(cloth=cloth, lab=moved, conditions=D65_10, how=how)
