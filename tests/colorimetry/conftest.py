"""What the colorimetry tests share: independent programs, outside data, seeded randomness."""

import csv
import warnings
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

import numpy as np
import pytest
from hypothesis import settings

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import Observer

DATA = Path(__file__).parents[1] / "data"

settings.register_profile("same every time", derandomize=True, deadline=None)
settings.load_profile("same every time")


class Spectra(NamedTuple):
    """Reflectances (n, m) at `wavelengths_nm` (m,), their CIELAB under D65/10° by another program, and names."""

    wavelengths_nm: FloatArray
    reflectance: FloatArray
    lab: FloatArray
    names: list[str]


def _rows(path: Traversable) -> list[dict[str, str]]:
    with path.open("r", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def _numbers(rows: list[dict[str, str]], columns: list[str]) -> FloatArray:
    return np.array([[float(row[column]) for column in columns] for row in rows])


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(seed=15)


@pytest.fixture(scope="session")
def colour_science() -> ModuleType:
    """The package colour-science, which warns while it is imported of what it could not find."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour  # noqa: PLC0415  # slow, and only some tests need it
    return colour


@pytest.fixture(scope="session")
def coloraide() -> Any:
    """The colour class of coloraide with every plug-in."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from coloraide.everything import ColorAll  # noqa: PLC0415
    return ColorAll


@pytest.fixture(scope="session")
def coloraide_whites() -> dict[str, dict[str, tuple[float, float]]]:
    """The chromaticities that coloraide writes for "2deg" and "10deg"."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from coloraide.cat import WHITES  # noqa: PLC0415
    return WHITES


@pytest.fixture(scope="session")
def colour_science_name() -> dict[Observer, str]:
    """What colour-science calls our observers."""
    return {
        Observer.CIE_1931_2: "CIE 1931 2 Degree Standard Observer",
        Observer.CIE_1964_10: "CIE 1964 10 Degree Standard Observer",
    }


@pytest.fixture(scope="session")
def nist_skin() -> tuple[FloatArray, FloatArray]:
    """Wavelengths (95,) and reflectances (100, 95) of 100 inner forearms: tests/data/nist_skin/README.md."""
    table = np.loadtxt(DATA / "nist_skin" / "nist_skin_mean_360-830nm_5nm.csv", delimiter=",", skiprows=1)
    return table[:, 0], table[:, 1:].T


@pytest.fixture(scope="session")
def vrhel() -> Spectra:
    """273 things, with CIELAB printed to two decimals: tests/data/vrhel/README.md."""
    rows = _rows(DATA / "vrhel" / "vrhel_reflectance_400-700nm_10nm.csv")
    wavelengths_nm = np.arange(400.0, 701.0, 10.0)
    reflectance = _numbers(rows, [f"R{nm:.0f}" for nm in wavelengths_nm])
    lab = _numbers(rows, ["L_D65_10", "a_D65_10", "b_D65_10"])
    return Spectra(wavelengths_nm, reflectance, lab, [row["set"] for row in rows])


@pytest.fixture(scope="session")
def cloths() -> Spectra:
    """96 invented cloths of the demo studio, with CIELAB printed to one decimal: tests/data/demo_studio/README.md."""
    drapes = _rows(files("tenter.demo_studio") / "drapes.csv")
    spectra = _rows(DATA / "demo_studio" / "drape_reflectances_400-700nm_10nm.csv")
    assert [row["id"] for row in drapes] == [row["id"] for row in spectra]
    wavelengths_nm = np.arange(400.0, 701.0, 10.0)
    reflectance = _numbers(spectra, [f"{nm:.0f}" for nm in wavelengths_nm])
    return Spectra(wavelengths_nm, reflectance, _numbers(drapes, list("Lab")), [row["name"] for row in drapes])
