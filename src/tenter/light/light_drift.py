"""A light against itself last time: by how much each value has changed, and whether that matters."""

from collections.abc import Iterator
from dataclasses import dataclass

from tenter.arrays import steady
from tenter.language import _, local_number, local_signed, pgettext
from tenter.light.light_values import LightValues
from tenter.light.thresholds import PRACTICE, LightThresholds


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
        ("cct", before.cct_kelvin, now.cct_kelvin, t.drift_cct, 0, " K", _("Colour temperature")),
        ("duv", before.duv, now.duv, t.drift_duv, 4, "", _("Tint (Duv)")),
        ("ra", before.ra, now.ra, t.drift_ra, 0, "", "Ra"),
        ("r9", before.r9, now.r9, t.drift_r9, 0, "", "R9"),
    )
    for of, old, new, most, decimals, unit, name in kinds:
        if old is not None and new is not None:
            step, shown = steady(new - old), round(new, decimals) - round(old, decimals)  # the two add up as printed
            write = local_signed if of == "duv" else local_number
            then, by = f"{write(old, decimals)}{unit}", f"{local_signed(shown, decimals)}{unit}"
            told = {"value": name, "then": then, "now": f"{write(new, decimals)}{unit}", "by": by}
            text = (
                _("{value} {then} then, {now} now: {by} ({how}).", how=_how(of, step < 0), **told)
                if round(abs(shown), decimals) > 0
                else _("{value} {then} then, {now} now: {by}.", **told)
            )
            yield LightChange(of, old, new, text, bool(abs(step) > most))
    if before.lux is not None and now.lux is not None and before.lux > 0:
        share = steady(now.lux / before.lux - 1)
        told = {"then": f"{before.lux:.0f}", "now": f"{now.lux:.0f}", "by": local_signed(100 * share, 0)}
        said = _("Brightness {then} lx then, {now} lx now: {by} %.", **told)
        yield LightChange("lux", before.lux, now.lux, said, bool(abs(share) > t.drift_lux))


def _how(of: str, less: bool) -> str:
    """Return what a light is when a value of it has become less or more."""
    lower, higher = {
        "cct": (pgettext("of a light", "yellower"), pgettext("of a light", "bluer")),
        "duv": (pgettext("of a light", "pinker"), pgettext("of a light", "greener")),
        "ra": (_("colours are shown worse"), _("colours are shown better")),
        "r9": (_("reds are shown worse"), _("reds are shown better")),
    }[of]
    return lower if less else higher
