"""What a light has to meet: the thresholds of practice, which a studio may change on its page or in a TOML file."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path

from tenter.consultation.cloths.tables import read_text
from tenter.errors import TenterError, UnreadableInput
from tenter.given import given_number, given_path
from tenter.language import _, as_typed, as_written, in_a_row
from tenter.light.face_lux import MOST_LUX


@dataclass(frozen=True, slots=True, kw_only=True)
class LightThresholds:
    """Least and most of each value. All are common practice, no source; `standards.py` has the standards' figures.

    least_lux, most_lux: lux on the face. most_cheek_difference: the share of its light by which the darker cheek may
    fall short. least_cct, most_cct: kelvin; D50 and D65, with the spread that lamps of these names have. most_duv:
    above 0 and below alike. least_ra, least_r9, least_rf: 100 is the best; an Rf of 0 is not asked for.
    drift_cct, drift_duv, drift_ra, drift_r9: kelvin, Duv and points (100 is the best) that a light may have changed by
    since last time. drift_lux: the same, as a share of what it was. The drifts are ours, no source: lamps of one make
    differ by about as much.

    Raises
    ------
    TenterError
        If a value cannot be, or a least is not below its most.
    """

    least_lux: float = 1000.0
    most_lux: float = 4000.0
    most_cheek_difference: float = 0.10
    least_cct: float = 4800.0
    most_cct: float = 6800.0
    most_duv: float = 0.005
    least_ra: float = 95.0
    least_r9: float = 80.0
    least_rf: float = 0.0
    drift_cct: float = 200.0
    drift_duv: float = 0.002
    drift_ra: float = 2.0
    drift_r9: float = 5.0
    drift_lux: float = 0.15

    def __post_init__(self) -> None:
        for field in fields(self):
            least, most = threshold_range(field.name)
            given_number(getattr(self, field.name), _("the threshold {field}", field=field.name), least, most)
        for value in ("lux", "cct"):
            low, high = getattr(self, f"least_{value}"), getattr(self, f"most_{value}")
            if low >= high:
                raise TenterError(
                    _(
                        "least_{value} is {low} and most_{value} is {high}; the least has to be lower",
                        value=value,
                        low=as_written(f"{low:g}"),
                        high=as_written(f"{high:g}"),
                    )
                )

    @property
    def own(self) -> dict[str, float]:
        """Those that differ from practice, by name, in their own units."""
        given = {field.name: getattr(self, field.name) for field in fields(self)}
        return {name: value for name, value in given.items() if value != getattr(PRACTICE, name)}


# What each threshold may be set to, by what it is of.
_RANGES = {
    "lux": (0.0, MOST_LUX),
    "cheek_difference": (0.0, 1.0),
    "cct": (0.0, 100_000.0),
    "duv": (0.0, 0.05),
    "ra": (0.0, 100.0),
    "r9": (-100.0, 100.0),
    "rf": (0.0, 100.0),
    "drift_r9": (0.0, 200.0),
    "drift_lux": (0.0, 1.0),
}


def threshold_range(name: str) -> tuple[float, float]:
    """Return the least and the most that a threshold may be set to, in its own unit."""
    return _RANGES.get(name) or _RANGES[name.partition("_")[2]]


PRACTICE = LightThresholds()


def kept_thresholds(document: object, source: str) -> LightThresholds:
    """Return thresholds by their names, in their own units; what is left out is as practice has it.

    Raises
    ------
    UnreadableInput
        If it is no such thing, names a threshold that there is not, or sets one to what cannot be.
    """
    names, remedy = [field.name for field in fields(LightThresholds)], _remedy()
    if not isinstance(document, Mapping):
        raise UnreadableInput(source, _("these are no thresholds"), remedy)
    unknown = sorted(str(name) for name in document if name not in names)
    if unknown:
        raise UnreadableInput(
            source, _("there is no threshold {names}", names=in_a_row([as_typed(name) for name in unknown])), remedy
        )
    try:
        return LightThresholds(**document)
    except TenterError as error:
        raise UnreadableInput(source, str(error), remedy) from None


def _remedy() -> str:
    names = in_a_row([field.name for field in fields(LightThresholds)])
    return _("Write lines such as least_lux = 1200. The names are {names}.", names=names)


def read_thresholds(path: str | Path) -> LightThresholds:
    """Return the thresholds of a TOML file; what it leaves out stays as practice has it.

    Raises
    ------
    UnreadableInput
        If it is no TOML, names a threshold that there is not, or sets one to what cannot be.
    TenterError
        If `path` names no file.
    """
    source = str(path)
    try:
        found = tomllib.loads(read_text(given_path(path)))
    except tomllib.TOMLDecodeError as error:
        raise UnreadableInput(source, _("this is not TOML ({error})", error=error), _remedy()) from None
    return kept_thresholds(found, source)
