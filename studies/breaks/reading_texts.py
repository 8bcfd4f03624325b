"""Sound files of readings of cloths: tables, CGATS text, CxF3, a photographed rack, a book.

For `spoilt_texts.py`, which spoils them and has each read by what the program reads it with.
"""

import json
from collections.abc import Callable
from pathlib import Path

Reader = Callable[[Path], object]
_NM = range(400, 701, 10)
_FACTORS = [20 + 0.1 * (nm - 400) for nm in _NM]
_CSV = (
    "cloth;day;instrument;folds;direction;place;L;a;b;illuminant;observer\n"
    "D001;04.05.2026;own;4;along;left;62,3;41,6;29,4;D65;10\nD001;04.05.2026;own;4;along;right;62,1;41,8;29,2;D65;10\n"
)
_TI3 = "\n".join(
    [
        'CTI3\nDESCRIPTOR "cloths"\nCREATED "Thu Nov 27 10:11:12 2026"\nTARGET_INSTRUMENT "own"\nSPECTRAL_NORM "100.0"',
        f"NUMBER_OF_FIELDS {len(_NM) + 1}\nBEGIN_DATA_FORMAT\nSAMPLE_ID {' '.join(f'SPEC_{nm}' for nm in _NM)}",
        "END_DATA_FORMAT\nNUMBER_OF_SETS 2\nBEGIN_DATA",
        *(f"D00{k} {' '.join(f'{v:.2f}' for v in _FACTORS)}" for k in (1, 2)),
        "END_DATA\n",
    ]
)
_CXF = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core"><cc:Resources>\n'
    '<cc:ObjectCollection><cc:Object ObjectType="Standard" Name="D001" Id="c1"><cc:ColorValues>'
    f'<cc:ReflectanceSpectrum StartWL="400">{" ".join(f"{v / 100:.3f}" for v in _FACTORS)}</cc:ReflectanceSpectrum>'
    "</cc:ColorValues></cc:Object></cc:ObjectCollection>\n</cc:Resources></cc:CxF>\n"
)
_CELL = {"name": "D001", "cloth": {"lab": [62.0, 41.0, 29.0], "lab_interval_90": [[60, 64], [39, 43], [27, 31]]}}
_RACK = {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2", "cells": [_CELL]}


def reading_files(folder: Path) -> list[tuple[str, str, bytes, Reader]]:
    """Return the name, the ending and the bytes of a sound file of each kind, with what reads it.

    folder: where a book may be made.
    """
    from tenter.consultation.readings.book import add_readings, read_book  # noqa: PLC0415  # in the child
    from tenter.consultation.readings.cloth_reading import ReadingCircumstances  # noqa: PLC0415
    from tenter.consultation.readings.reading_files import read_readings  # noqa: PLC0415
    from tenter.consultation.readings.reading_rows import ReadingDefaults  # noqa: PLC0415

    defaults = ReadingDefaults(ReadingCircumstances(day="2026-11-29"))

    def read(path: Path) -> object:
        return read_readings(path, defaults)

    table, book = folder / "readings.csv", folder / "sound.readings"
    table.write_text(_CSV, encoding="utf-8")
    add_readings(book, read_readings(table, defaults).readings)
    rack = json.dumps(_RACK, indent=1).encode()
    return [
        ("readings", ".csv", _CSV.encode(), read),
        ("readings in CGATS text", ".ti3", _TI3.encode(), read),
        ("readings in CxF3", ".cxf", _CXF.encode(), read),
        ("readings of a photographed rack", ".json", rack, read),
        ("book of readings", ".readings", book.read_bytes(), read_book),
    ]
