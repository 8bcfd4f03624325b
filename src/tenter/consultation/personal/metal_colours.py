"""Metals of a palette: those of the kit that are the client's, or by convention gold and silver.

Common practice, no source: gold with warm colouring, silver with cool, both with neither. One colour says little of
what shines, so that a metal's suitability goes by its undertone alone.
"""

import numpy as np

from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Basis, PaletteColour, Part, Suited
from tenter.consultation.palette.palette import Palette
from tenter.consultation.personal.suitability import Known
from tenter.consultation.words.traits import UndertoneSide

# From memory: L*, a*, b* of a satin surface, D65/10°, and its undertone in bench units.
_USUAL = {
    "gold": ((76.0, 3.0, 38.0), 1.2),
    "rose gold": ((72.0, 12.0, 18.0), 0.4),
    "silver": ((78.0, -0.5, -1.0), -1.2),
    "pewter": ((52.0, -0.5, 0.5), -0.4),
}
METAL_NAMES = tuple(_USUAL)
_BLENDED, _APART = METAL_ANSWERS = ("blended with your skin", "stood apart from your skin")
_TINTED = 0.8  # bench units of undertone from which a metal is gold or silver, and no mixture


def metal_colours(known: Known, worn: Palette | None, side: UndertoneSide | None) -> tuple[PaletteColour, ...]:
    """Return the metals that are the client's, the one seen to blend first; by convention where the kit has none."""
    if worn is None or not worn.metals:
        sign = {UndertoneSide.WARM: 1, UndertoneSide.COOL: -1, None: 0}[side]
        usual = [(n, lab, u) for n, (lab, u) in _USUAL.items() if u * sign > 0 or (not sign and abs(u) > _TINTED)]
        return tuple(_metal(known, name, lab, undertone, Basis.CONVENTION) for name, lab, undertone in usual)
    found: list[PaletteColour] = []
    for entry in worn.metals:
        undertone = entry.drape.undertone or 0.0
        name = _name_of(undertone, [c.name for c in found])
        seen = "; ".join(_told(entry.found.blends))
        lab, _ = _USUAL[name.split(" (")[0]]
        basis = Basis.SEEN if entry.seen else Basis.CONVENTION
        found.append(_metal(known, name, lab, undertone, basis, entry.drape.id, seen))
    return tuple(found)


def _name_of(undertone: float, taken: list[str]) -> str:
    order = sorted(_USUAL, key=lambda n: abs(_USUAL[n][1] - undertone))
    return next((n for n in order if n not in taken), f"{order[0]} ({len(taken) + 1})")


def _told(blends: bool | None) -> tuple[str, ...]:
    if blends is None:
        return ()
    return (_BLENDED,) if blends else (_APART,)


def _metal(
    known: Known,
    name: str,
    lab: tuple[float, float, float],
    undertone: float,
    basis: Basis,
    cloth: str | None = None,
    answer: str = "",
) -> PaletteColour:
    place = known.ideal.copy()
    place[Axis.UNDERTONE.column] = undertone
    [expected], [(low, high)] = known.suitability(place[None]), known.interval(place[None])
    return PaletteColour(
        lab=lab,
        name=name,
        hue_family=HueFamily.METAL,
        part=Part.METAL,
        fit=Suited.BEST,
        basis=basis,
        suitability=float(np.clip(expected, 0, 1)),
        interval=(float(low), float(high)),
        cloth=cloth,
        answer=answer,
    )
