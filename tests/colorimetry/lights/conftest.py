"""What the tests of lights share: the 25 illuminants, and colour-science on the same wavelengths."""

import csv
import warnings
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

_TABLE = Path(__file__).parents[2] / "data" / "light_reference" / "cri_reference.csv"


def reference_rows() -> list[dict[str, str]]:
    """Return the rows of tests/data/light_reference/cri_reference.csv; its README names each column's source."""
    with _TABLE.open(encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Give `row` to a test that asks for it, once for each illuminant."""
    if "row" in metafunc.fixturenames:
        metafunc.parametrize("row", reference_rows(), ids=lambda row: row["illuminant"])


@pytest.fixture(scope="session")
def five_nm(colour_science: ModuleType) -> Any:
    """The wavelengths of every spectrum here, as colour-science has them."""
    return colour_science.SpectralShape(380, 780, 5)


@pytest.fixture
def quiet() -> Iterator[None]:
    """Let colour-science say what it does with wavelengths other than its own, which a warning would end."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield
