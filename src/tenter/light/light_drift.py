"""A light against itself last time: by how much each value has changed, and whether that matters."""

from collections.abc import Iterator
from dataclasses import dataclass

from tenter.arrays import steady
from tenter.light.light_values import LightValues
from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.numerals import number, signed


@dataclass(frozen=True, slots=True)
class LightChange:
    """The change of one value since last time.

    before, now: the value in its own units: kelvin, Duv, an index or lux. too_large: beyond its threshold.
    """

    of: str
    before: float
    now: float
    text: str
    too_large: bool


def light_drift(
    before: LightValues, now: LightValues, thresholds: LightThresholds = PRACTICE
) -> tuple[LightChange, ...]:
    """Return the change of every value that is known both times."""
    return tuple(_changes(before, now, thresholds))


def _changes(before: LightValues, now: LightValues, t: LightThresholds) -> Iterator[LightChange]:
    kinds = (
        ("cct", before.cct_kelvin, now.cct_kelvin, t.drift_cct, 0, " K", "Colour temperature", ("yellower", "bluer")),
        ("duv", before.duv, now.duv, t.drift_duv, 4, "", "Tint (Duv)", ("pinker", "greener")),
        ("ra", before.ra, now.ra, t.drift_ra, 0, "", "Ra", ("colours are shown worse", "colours are shown better")),
        ("r9", before.r9, now.r9, t.drift_r9, 0, "", "R9", ("reds are shown worse", "reds are shown better")),
    )
    for of, old, new, most, decimals, unit, name, (less, more) in kinds:
        if old is not None and new is not None:
            step, shown = steady(new - old), round(new, decimals) - round(old, decimals)  # the two add up as printed
            how = f" ({less if step < 0 else more})" if round(abs(shown), decimals) > 0 else ""
            write = signed if of == "duv" else number
            said = f"{name} {write(old, decimals)}{unit} then, {write(new, decimals)}{unit} now: "
            yield LightChange(of, old, new, f"{said}{signed(shown, decimals)}{unit}{how}.", bool(abs(step) > most))
    if before.lux is not None and now.lux is not None and before.lux > 0:
        share = steady(now.lux / before.lux - 1)
        said = f"Brightness {before.lux:.0f} lx then, {now.lux:.0f} lx now: {signed(100 * share, 0)} %."
        yield LightChange("lux", before.lux, now.lux, said, bool(abs(share) > t.drift_lux))
