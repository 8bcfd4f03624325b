"""A light by a photograph of a colour card: what kind of lamp it is, and never how well it renders colours."""

from collections.abc import Sequence

import numpy as np

from tenter.arrays import steady
from tenter.colorimetry.adaptation import Transform, adapt
from tenter.colorimetry.illuminants import Observer, weights_under, white_point
from tenter.colorimetry.lights.blackbody import daylight_power
from tenter.colorimetry.lights.colour_temperature import NoColourTemperature, cct_and_duv_of_xy
from tenter.given import given_number
from tenter.language import N_, _, one_of
from tenter.light.light_values import LightBasis, LightValues

# Daylight as cameras are set to it. At 5500 K four simulated cameras under ten lamps miss the temperature by 520 K at
# most (tests/light/test_photographed_light.py); at 3200 K by 1400 K. Duv is missed by up to 0.012 and is not told.
WHITE_BALANCE_KELVIN = (4500.0, 7000.0)
_WORTH_SAYING = 0.1  # probability from which a lamp is named (ours)
_POOR = 0.5  # probability from which poor lamps are spoken of: more likely than not
_HOW_SURE = N_("Cameras change colours in ways of their own, so this is a hint and no measurement.")
_NAMED = 3  # lamps at most
_KINDS = {"D": N_("daylight"), "ID": N_("daylight indoors"), "A": N_("a light bulb"), "C": N_("daylight")}
_KINDS |= {
    "E": N_("an even spectrum"),
    "FL": N_("a fluorescent tube"),
    "HP": N_("a discharge lamp"),
    "LED": N_("an LED"),
}
NO_RENDERING = N_(
    "A photograph can't tell how well a lamp renders colours (Ra, R9, Rf, Rg): for that measure its spectrum, or look "
    "on its data sheet."
)
_UNKNOWN_WHITE = N_(
    "The camera's automatic white balance takes most of the lamp's colour out of the picture. Set the white balance to "
    "daylight, about 5500 K, photograph the card again, and pass --white-balance 5500 to have the colour temperature "
    "estimated."
)


def values_of_photograph(
    lamps: Sequence[tuple[str, float]],
    poor_lamp: float,
    white_xyz: tuple[float, float, float],
    across_card: float | None,
    source: str,
    white_balance_kelvin: float | None = None,
) -> LightValues:
    """Return what a photograph of the classic card says of its light.

    lamps: CIE illuminants, each with its probability, the likeliest first. poor_lamp: the probability of one under
    which cameras and eyes part. white_xyz: (3,), the light on the card as the picture records it (sRGB). across_card:
    by which share the darkest part of the card gets less light. white_balance_kelvin: what the camera was set to, where
    it was fixed; without it there is no colour temperature.

    Raises
    ------
    TenterError
        If the white balance is none of daylight.
    """
    remarks = [*_lamp_words(lamps, poor_lamp), *_even_words(across_card)]
    kelvin = None
    if white_balance_kelvin is None:
        remarks.append(_(_UNKNOWN_WHITE))
    else:
        balance = given_number(white_balance_kelvin, _("a white balance in kelvin"), *WHITE_BALANCE_KELVIN)
        kelvin = _estimated_kelvin(white_xyz, balance)
        remarks.append(
            _(
                "The colour temperature is estimated from the card's white at a white balance of {kelvin} K. It is "
                "rough and may be 500 K off, as cameras differ. A meter is better.",
                kelvin=f"{balance:.0f}",
            )
            if kelvin is not None
            else _(
                "At a white balance of {kelvin} K the card's white is too coloured for a colour temperature.",
                kelvin=f"{balance:.0f}",
            )
        )
    return LightValues(
        basis=LightBasis.PHOTOGRAPH,
        source=source,
        cct_kelvin=kelvin,
        poor_lamp=poor_lamp if lamps else None,
        remarks=(*remarks, _(NO_RENDERING)),
    )


def lamp_kind(lamp: str) -> str:
    """Return what a CIE illuminant is in plain words; empty for one of no known kind."""
    letters = lamp.split("-", maxsplit=1)[0].rstrip("0123456789.")
    return _(_KINDS.get(letters, ""))


def _lamp_words(lamps: Sequence[tuple[str, float]], poor_lamp: float) -> list[str]:
    likely = [(lamp, share) for lamp, share in lamps if share >= _WORTH_SAYING][:_NAMED]
    if not likely:
        return []
    named = one_of([f"{_lamp_named(lamp)} ({100 * share:.0f} %)" for lamp, share in likely])
    lit = _("Of the lamps in the CIE's tables, the card looks lit by {lamps}.", lamps=named)
    said = [f"{lit} {_(_HOW_SURE)}"]
    if steady(poor_lamp) > _POOR:
        said.append(
            _(
                "Light bulbs, three-band tubes and coloured LEDs show skin and cloth otherwise than daylight does. "
                "Look which lamp it is, and drape by a window or by lamps with Ra 95 or more if it is one of these."
            )
        )
    return said


def _lamp_named(lamp: str) -> str:
    kind = lamp_kind(lamp)
    return _("{kind} such as {lamp}", kind=kind, lamp=lamp) if kind else _("none of them")


def _even_words(across_card: float | None) -> list[str]:
    if across_card is None:
        return []
    less = f"{100 * across_card:.0f}"
    return [_("The darkest part of the card gets {less} % less light than the brightest.", less=less)]


def _estimated_kelvin(white_xyz: tuple[float, float, float], balance: float) -> float | None:
    """Return the light's temperature: the recorded white, carried from the screen's white to the balance's."""
    balanced = weights_under(daylight_power(balance), Observer.CIE_1931_2).sum(axis=0)
    screen = white_point("D65", Observer.CIE_1931_2)
    xyz = adapt(np.array(white_xyz), screen, balanced, Transform.BRADFORD)
    try:
        return float(steady(cct_and_duv_of_xy(xyz[:2] / xyz.sum()).cct_kelvin))
    except NoColourTemperature:
        return None
