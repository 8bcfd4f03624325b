"""A light drawn: its spectrum beside the reference light's, its indices, and how far it turns and strengthens each hue.

The rings of hues are those of ANSI/IES TM-30-18; the drawing is ours.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, isnan, pi, sin
from textwrap import wrap

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM, Observer, colour_matching_functions
from tenter.colorimetry.lights.colour_fidelity import HUE_BINS, reference_power
from tenter.language import _, in_a_row, local_number, local_signed
from tenter.light.light_values import LightValues
from tenter.report.words import terms
from tenter.report.workshop_pictures.svg_parts import (
    HAIRLINE,
    INK,
    LETTERS,
    LOOKING_GREY,
    QUIET,
    svg_curve,
    svg_document,
    svg_heading,
    svg_line,
    svg_words,
)

_SIZE = (960, 590)  # of the picture, in its own units
_HEADING = 48  # of that height, above everything else
_LEFT, _RIGHT, _UPPER, _FOOT = 40.0, 560.0, 76.0, 300.0  # of the spectrum, in those units
_RING_X, _RING_Y, _RING = 770.0, 200.0, 92.0  # of the ring of hues: its middle and its radius, in those units
_BAR_FROM, _BAR_FOOT, _BAR_HEIGHT = 40.0, 526.0, 110.0  # of the bars of R1 to R14, in those units
_LETTERS_WIDE = 46  # of words below the ring, on a line
_STRONG_RED = 8  # R9's place among R1 to R14, counted from 0
_LEAST_R = -20.0  # of R1 to R14: a bar is no longer than this below nought
# Where the 16 hues are named, by their places from 0: those that CIECAM02 has at 20, 90, 164 and 238 degrees.
_NAMED = {0: "red", 4: "yellow", 7: "green", 10: "blue", 14: "purple"}


@dataclass(frozen=True, slots=True)
class LightShown:
    """What the picture of a light shows.

    power, reference: (81,) each on `WAVELENGTHS_NM`, of one luminance, the greater maximum 1. hues: of 16 hues how much
    stronger each looks, as a share, and how far it turns, in radians. figures: lines of indices. r: R1 to R14,
    where 100 is the best.
    """

    title: str
    power: tuple[float, ...]
    reference: tuple[float, ...]
    r: tuple[float, ...]
    hues: tuple[tuple[float, float], ...]
    figures: tuple[str, ...]

    @property
    def told(self) -> str:
        """The picture in words."""
        r = in_a_row([f"R{k} {local_number(v, 0)}" for k, v in enumerate(self.r, 1)])
        return _("The spectrum of a light from 380 to 780 nm.") + f" {'. '.join(self.figures)}. {r}."


def light_shown(power: FloatArray, values: LightValues, title: str = "") -> LightShown:
    """Return what there is to draw of a light of known power (81,), on `WAVELENGTHS_NM`, and its values.

    Raises
    ------
    NoColourTemperature
        If the light is coloured, so that it has no reference.
    """
    V = colour_matching_functions(Observer.CIE_1931_2)[:, 1]
    both = np.stack([p / float(p @ V) for p in (power, reference_power(power))])
    both /= both.max()
    figures = (
        ("CCT", values.cct_kelvin, 0, " K"),
        ("Duv", values.duv, 4, ""),
        ("Ra", values.ra, 0, ""),
        ("R9", values.r9, 0, ""),
        ("Rf", values.rf, 0, ""),
        ("Rg", values.rg, 0, ""),
    )
    return LightShown(
        title=title or _("The light"),
        power=tuple(float(v) for v in both[0]),
        reference=tuple(float(v) for v in both[1]),
        r=values.r or (),
        hues=tuple(zip(values.local_chroma_shifts or (), values.local_hue_shifts or (), strict=True)),
        figures=tuple(
            f"{name} {(local_signed if name == 'Duv' else local_number)(value, decimals)}{unit}"
            for name, value, decimals, unit in figures
            if value is not None
        ),
    )


# -- drawing -----------------------------------------------------------------------------------------------------------


def light_svg(shown: LightShown, headed: bool = True) -> str:
    """Return the picture as the text of an SVG file; without its heading where a paper has one above it."""
    parts = [svg_heading(24, 42, shown.title)] if headed else []
    parts += [*_spectrum(shown), *_ring(shown.hues), *_bars(shown.r)]
    parts += [svg_words(640 + 150 * (k % 2), 462 + 32 * (k // 2), line, 18) for k, line in enumerate(shown.figures)]
    return svg_document(_SIZE, shown.title, shown.told, parts, 0 if headed else _HEADING)


def _spectrum(shown: LightShown) -> Iterator[str]:
    for nm in range(400, 781, 50):
        x = _of_nm(nm)
        yield svg_line((x, _UPPER), (x, _FOOT), 0.8, HAIRLINE)
        yield svg_words(x, _FOOT + 20, f"{nm}", LETTERS, "middle", QUIET)
    yield svg_words(_RIGHT, _FOOT + 44, _("wavelength in nm"), LETTERS, "end", QUIET)
    yield svg_line((_LEFT, _FOOT), (_RIGHT, _FOOT), 1)
    for values, width, dashes in ((shown.reference, 1.2, "6 4"), (shown.power, 2.2, "")):
        yield svg_curve(
            [(_of_nm(nm), _FOOT - (_FOOT - _UPPER) * v) for nm, v in zip(WAVELENGTHS_NM, values, strict=True)],
            width,
            INK,
            dashes,
        )
    yield svg_words(_LEFT, _UPPER - 10, _("Line: this light. Dashes: its reference."), fill=QUIET)


def _of_nm(nm: float) -> float:
    low, high = float(WAVELENGTHS_NM[0]), float(WAVELENGTHS_NM[-1])
    return _LEFT + (_RIGHT - _LEFT) * (nm - low) / (high - low)


def _ring(hues: Sequence[tuple[float, float]]) -> Iterator[str]:
    """Yield the ring of hues: dashed as the reference shows them, a line as this light does."""
    if not hues:
        return
    yield f'<circle cx="{_RING_X}" cy="{_RING_Y}" r="{_RING * 1.35}" fill="{LOOKING_GREY}"/>'
    yield (
        f'<circle cx="{_RING_X}" cy="{_RING_Y}" r="{_RING}" fill="none" stroke="{INK}" stroke-width="1.2" '
        f'stroke-dasharray="6 4"/>'
    )
    known = [(k, shift) for k, shift in enumerate(hues) if not isnan(shift[0])]
    yield svg_curve([_on_ring(k, 1 + stronger, turned) for k, (stronger, turned) in known], 2.2, closed=True)
    for k, (stronger, turned) in known:
        yield svg_line(_on_ring(k), _on_ring(k, 1 + stronger, turned), 1)
    for k, name in _NAMED.items():
        x, y = _on_ring(k, 1.48)
        yield svg_words(
            x,
            y + 5,
            terms.light_hue(name),
            LETTERS,
            "start" if x > _RING_X + 8 else "end" if x < _RING_X - 8 else "middle",
            QUIET,
        )
    said = _("Inside the dashes: softer. Outside: stronger."), _("A slanted stroke: the hue turns that way.")
    for k, line in enumerate(line for sentence in said for line in wrap(sentence, _LETTERS_WIDE)):
        yield svg_words(_RING_X, _RING_Y + 172 + 20 * k, line, LETTERS, "middle", QUIET)


def _on_ring(place: int, strength: float = 1.0, turned: float = 0.0) -> tuple[float, float]:
    """Return the place of one of the 16 hues, counted from 0; turned: in radians."""
    angle = 2 * pi * (place + 0.5) / HUE_BINS + turned
    return _RING_X + _RING * strength * cos(angle), _RING_Y - _RING * strength * sin(angle)


def _bars(r: Sequence[float]) -> Iterator[str]:
    if not r:
        return
    yield svg_words(
        _BAR_FROM, _BAR_FOOT - _BAR_HEIGHT - 26, _("How truly each test colour is shown (100 is best)"), fill=QUIET
    )
    yield svg_line((_BAR_FROM, _BAR_FOOT), (_RIGHT, _BAR_FOOT), 1)
    step, under = (_RIGHT - _BAR_FROM) / len(r), 20 if min(r) >= 0 else 42
    for k, value in enumerate(r):
        x, height = _BAR_FROM + step * (k + 0.5), _BAR_HEIGHT * max(value, _LEAST_R) / 100
        top, is_red = _BAR_FOOT - max(height, 0.0), k == _STRONG_RED
        box = f'x="{x - 9:.1f}" y="{top:.1f}" width="18" height="{abs(height):.1f}"'
        yield f'<rect {box} fill="{INK if is_red else "#8a8a8a"}"/>'
        yield svg_words(x, top - 4, local_number(value, 0), LETTERS, "middle")
        yield svg_words(x, _BAR_FOOT + under, f"R{k + 1}", LETTERS, "middle", weight="bold" if is_red else "normal")
