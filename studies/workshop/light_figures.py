"""How far the values of 25 CIE illuminants are from what is published and from two other programs.

`./run bench workshop` prints it, and so does `python -m studies.workshop.light_figures`. Each column's source is in
tests/data/light_reference/README.md.
"""

import csv
import sys
import time
import warnings
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np

from tenter import Kit, Method
from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import Observer, colour_matching_functions, illuminant_power
from tenter.colorimetry.lights.blackbody import daylight_power, planckian_power
from tenter.colorimetry.lights.colour_fidelity import colour_fidelity
from tenter.colorimetry.lights.colour_rendering import rendering_indices
from tenter.colorimetry.lights.colour_temperature import cct_and_duv
from tenter.light.on_kit import light_on_kit

_TABLE = Path(__file__).parents[2] / "tests" / "data" / "light_reference" / "cri_reference.csv"
_COLUMNS = {
    "CIE15_CCT_K": "CCT, K, CIE 15:2004 as printed (from memory)",
    "CIE15_Ra": "Ra, CIE 15:2004 as printed (from memory)",
    "colour_CCT_K": "CCT, K, colour-science's column (black bodies at 1 nm)",
    "colour_Duv": "Duv, colour-science's column",
    "colour_Ra": "Ra, colour-science's column (lamps interpolated to 1 nm)",
    "colour_R9": "R9, colour-science's column (the same)",
    "colour_Rf_CIE224": "Rf, colour-science's column",
    "colour_Rg_TM30": "Rg, colour-science's column",
    "luxpy_Ra": "Ra, luxpy's column (R1 to R8 rounded)",
    "luxpy_Rf": "Rf, luxpy's column",
    "luxpy_Rg": "Rg, luxpy's column",
}


def light_lines() -> Iterator[str]:
    """Yield the figures, a line each: how many illuminants, and the worst and median difference of each column."""
    rows = list(csv.DictReader(_TABLE.read_text(encoding="utf-8").splitlines()))
    yield f"Viewing light: {len(rows)} CIE illuminants; differences, median and worst"
    ours = {row["illuminant"]: _values(illuminant_power(row["illuminant"])) for row in rows}
    for column, title in _COLUMNS.items():
        quantity = column.split("_")[1]
        apart = {r["illuminant"]: abs(ours[r["illuminant"]][quantity] - float(r[column])) for r in rows if r[column]}
        yield _line(title, apart)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what colour-science does with wavelengths other than its own
        yield from _beside_colour_science([row["illuminant"] for row in rows])
    start = time.perf_counter()
    light_on_kit(illuminant_power("FL11"), Kit.demo(), Method.bundled())
    yield f"  what a light does to the demo kit: {time.perf_counter() - start:.2f} s"


def _values(power: FloatArray) -> dict[str, float]:
    white, rendering, fidelity = cct_and_duv(power), rendering_indices(power), colour_fidelity(power)
    return {
        "CCT": white.cct_kelvin,
        "Duv": white.duv,
        "Ra": rendering.ra,
        "R9": rendering.r[8],
        "Rf": fidelity.rf,
        "Rg": fidelity.rg,
    }


def _line(title: str, apart: dict[str, float]) -> str:
    worst = max(apart, key=lambda lamp: apart[lamp])
    return f"  {title}: {np.median(list(apart.values())):.2g}, {apart[worst]:.2g} ({worst}), of {len(apart)}"


def _beside_colour_science(lamps: list[str]) -> Iterator[str]:
    """Yield CCT, Duv, R1 to R14 and the local shifts beside colour-science on the same wavelengths."""
    import colour  # noqa: PLC0415  # slow, and it warns while it is imported

    shape = colour.SpectralShape(380, 780, 5)
    apart: dict[str, dict[str, float]] = {}
    for lamp in lamps:
        power = illuminant_power(lamp)
        under = colour.SpectralDistribution(power, shape.wavelengths)
        for title, value in (
            *_white_apart(power, colour, shape),
            *_indices_apart(power, under, colour, shape),
            *_shifts_apart(power, under, colour),
        ):
            apart.setdefault(title, {})[lamp] = value
    for title, values in apart.items():
        yield _line(f"{title}, colour-science on the same wavelengths", values)


def _white_apart(power: FloatArray, colour: ModuleType, shape: Any) -> Iterator[tuple[str, float]]:
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    X, Y, Z = power @ colour_matching_functions(Observer.CIE_1931_2)
    uv = np.array([4 * X, 6 * Y]) / (X + 15 * Y + 3 * Z)
    kelvin, duv = colour.temperature.uv_to_CCT_Ohno2013(uv, cmfs, start=1000, end=25000)
    white = cct_and_duv(power)
    yield "CCT, K", abs(white.cct_kelvin - kelvin)
    yield "Duv", abs(white.duv - duv)


def _indices_apart(power: FloatArray, under: Any, colour: ModuleType, shape: Any) -> Iterator[tuple[str, float]]:
    cri = import_module("colour.quality.cri")
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    samples = {name: sample.copy().align(shape) for name, sample in colour.quality.SDS_TCS["CIE 1995"].items()}
    kelvin = cct_and_duv(power).cct_kelvin
    standard = planckian_power(kelvin) if kelvin < 5000 else daylight_power(kelvin)
    meant = colour.SpectralDistribution(standard, shape.wavelengths)
    theirs = cri.colour_rendering_indexes(
        cri.tcs_colorimetry_data(under, meant, samples, cmfs, chromatic_adaptation=True),
        cri.tcs_colorimetry_data(meant, meant, samples, cmfs),
    )
    r = np.abs(np.array(rendering_indices(power).r) - [theirs[k].Q_a for k in range(1, 15)])
    yield "R1 to R8", float(r[:8].max())
    yield "R9 to R14", float(r[8:].max())


def _shifts_apart(power: FloatArray, under: Any, colour: ModuleType) -> Iterator[tuple[str, float]]:
    theirs = colour.quality.colour_fidelity_index_ANSIIESTM3018(under, additional_data=True)
    ours = colour_fidelity(power)
    yield "local hue shifts, radians", float(np.abs(np.array(ours.local_hue_shifts) - theirs.R_hs).max())
    chroma = 100 * np.array(ours.local_chroma_shifts)
    yield "local chroma shifts, %", float(np.abs(chroma - theirs.R_cs).max())


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in light_lines())
