"""The colour of a cloth in a photograph: of its lit, flat part, without folds and shine, with its interval.

The part that is kept is evenly lit and of one tint (`even_part.py`). How light a cloth looks depends on its angle to
the lamp, which no picture tells: the interval does.
"""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.colorimetry.reflectance import ImpossibleSurface
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.language import _, ngettext
from tenter.measured.basis import CalibrationBasis
from tenter.numerals import number, whole_percent
from tenter.photo.cloth.even_part import EvenPart, KeptPart, even_part
from tenter.photo.cloth.shine import shine_on
from tenter.photo.cloth.strong_colour import LOST_FROM, beyond_the_picture
from tenter.photo.files.loading import Photo
from tenter.photo.json_numbers import interval_json, rounded
from tenter.photo.patches.chart import HIGH_CODE, LOW_CODE
from tenter.photo.patches.correction import D65_WHITE, LIGHTEST, Correction

MIN_CLOTH_PIXELS = 400  # of one cloth: a square of 20
_MAX_CLIPPED, _MAX_DARK = 0.35, 0.5  # parts of a cloth beyond which what is left is no fair sample
MIN_KEPT = 0.25  # part of the cloth that has to agree on a colour
MAX_OTHER_COLOUR = 0.25  # part of it, as lit as the rest, that may have another one
_MOST_SAMPLES = 20_000  # pixels that folds and tints are looked for in

# 90 % half-widths, set on composed photographs (studies/scenes/cloth_scene.py) and tried on others.
_FLOOR = 0.8
_PER_ERROR = np.array([0.6, 1.4, 1.4])  # of the card's mean leave-one-out error, in lightness, chroma and hue
_CARDLESS_ERROR = 4.0  # that error where a grey or white tells the light alone
_ANGLE = 0.12  # of the logarithm of light: a cloth held within about 10° of the card's plane
_PER_LOST = np.array([0.35, 0.15])  # of the chroma, along and across it, where all of a cloth has a channel at black
# Of the logarithm of light from the card's most lit patch to its least: beyond it, who knows what falls on the cloth.
_UNEVEN_AS_A_RULE = 0.15
_PER_SHINE = 0.4  # of what was taken off
_PER_FOLDS = 0.7  # of the standard deviation of the logarithm of light across the cloth


class ClothCode(StrEnum):
    """Why a cloth is not measured, or what its colour is given with."""

    NOT_FOUND = "cloth_not_found"
    SMALL = "cloth_too_small"
    CLIPPED = "cloth_clipped"
    DARK = "cloth_too_dark"
    VIVID = "cloth_too_vivid"
    UNEVEN = "cloth_uneven"
    SEVERAL_COLOURS = "cloth_several_colours"
    NO_SURFACE = "cloth_no_surface"
    LIGHTER_THAN_WHITE = "cloth_lighter_than_white"
    EMPTY = "cell_empty"
    CHOSEN = "cloth_chosen"


@dataclass(frozen=True, slots=True)
class ClothReason:
    """Why a cloth has no colour, in plain words, and what would do."""

    code: ClothCode
    text: str

    def to_json(self) -> dict[str, str]:
        """Return code and text, as every measurement of cloth writes a reason."""
        return {"code": str(self.code), "text": self.text}


@dataclass(frozen=True, slots=True)
class ClothColour:
    """Lab (3,), D65/2°, of a cloth with the half-widths (3,) of its 90 % interval.

    for_kit: the same under D65/10°, as a kit has it: converted through a recovered reflectance, not measured. spread:
    standard deviation of L*, a* and b* (3,) across the whole cloth, folds included. unlike: the part of it, 0 to 1,
    whose colour was not read, as it is overexposed, or is neither a fold of the rest nor shine on it.
    """

    lab: FloatArray
    for_kit: FloatArray
    half_width_90: FloatArray
    spread: FloatArray
    part: KeptPart
    pixels: int
    unlike: float = 0.0

    def to_json(self) -> dict[str, Any]:
        """Return what `tenter cloth measure --json` says of the colour: Lab and parts with three decimals."""
        return {
            "lab": rounded(self.lab),
            "lab_interval_90": interval_json(self.lab, self.half_width_90),
            "spread": rounded(self.spread),
            "kept": round(self.part.kept, 3),
            "kept_part": str(self.part),
            "pixels": self.pixels,
            "unlike": round(self.unlike, 3),
            "converted": {
                "lab": rounded(self.for_kit),
                "illuminant": D65_10.illuminant,
                "observer": str(D65_10.observer),
                "how": "converted through a recovered reflectance, not measured",
            },
        }


@dataclass(frozen=True, slots=True)
class ClothPixels:
    """The pixels of a cloth without clipped ones and without its edge: linear light (n, 3), noise smoothed; places.

    at: (n, 2), x and y in pixels. count: all pixels of the cloth. clipped, dark and lost: parts of it, 0 to 1, that are
    overexposed, black, or not black with one or two channels that are: stronger colours than sRGB has. channels: (3,),
    the last by channel.
    """

    linear: FloatArray
    at: FloatArray
    count: int
    clipped: float
    dark: float
    lost: float = 0.0
    channels: FloatArray = field(default_factory=lambda: np.zeros(3))


def cloth_pixels(photo: Photo, mask: BoolArray, correction: Correction) -> ClothPixels:
    """Return what the pixels of a mask (height, width) tell about a cloth."""
    ys, xs = np.nonzero(mask)
    if len(xs) == 0:
        return ClothPixels(np.empty((0, 3)), np.empty((0, 2)), 0, 0.0, 0.0)
    top, left = ys.min(), xs.min()
    window = (slice(top, ys.max() + 1), slice(left, xs.max() + 1))
    inside = mask[window]
    code = photo.code(window)
    clipped = (code >= HIGH_CODE).any(axis=2) & inside
    black = code <= LOW_CODE
    dark = black.all(axis=2) & inside
    lost = black & (inside & ~dark & ~clipped)[..., None]
    sound = inside & ~clipped & ~dark
    size = 2 * (min(inside.shape) // 100) + 3
    linear = correction.tone.linear(code) * sound[..., None]
    weight = cv2.blur(sound.astype(float), (size, size), borderType=cv2.BORDER_CONSTANT)
    smooth = cv2.blur(linear, (size, size), borderType=cv2.BORDER_CONSTANT) / np.maximum(weight, 1e-9)[..., None]
    core = sound & (weight > 0.99)  # beside a clipped pixel, and at the edge, colours mix
    rows, columns = np.nonzero(core)
    step = max(1, len(rows) // _MOST_SAMPLES)
    rows, columns = rows[::step], columns[::step]
    at = np.stack([columns + left, rows + top], axis=1).astype(float)
    bright, black_out, partly = (float(where.sum() / len(xs)) for where in (clipped, dark, lost.any(axis=2)))
    channels = lost.sum(axis=(0, 1)) / len(xs)
    return ClothPixels(smooth[rows, columns], at, len(xs), bright, black_out, partly, channels)


def read_cloth(
    pixels: ClothPixels,
    correction: Correction,
    light: FloatArray | None = None,
    light_error: float = 0.0,
    strong: bool = False,
) -> ClothColour | ClothReason:
    """Return the colour of a cloth, or why it has none.

    light: (n,), the light on each pixel relative to the card's, where it is known. light_error: the 90 % half-width of
    the logarithm of the light on the cloth, beyond its angle. strong: whether a colour stronger than the picture can
    hold is estimated, with a wide interval; a kit has to know its cloths better.
    """
    if (wrong := _unusable(pixels, strong)) is not None:
        return wrong
    xyz = correction.for_dyes.xyz(pixels.linear) / (1.0 if light is None else light[:, None])
    lab = xyz_to_lab(np.maximum(xyz, 1e-5), D65_WHITE)
    even = even_part(xyz, lab)
    if (wrong := _disagreeing(even)) is not None:
        return wrong
    shine = shine_on(xyz, even.kept)
    likeliest, unheld = beyond_the_picture(xyz[even.kept].mean(axis=0) - shine * D65_WHITE, pixels.channels)
    found = xyz_to_lab(np.maximum(likeliest, 1e-5), D65_WHITE)
    if found[0] > LIGHTEST:
        return _lighter_than_white(found)
    half = _half_width(found, pixels, correction, _light_doubt(xyz, correction, light, light_error))
    half = np.sqrt(half**2 + unheld**2 + _of_shine(likeliest, shine) ** 2)
    for_kit = _for_kit(found)
    if for_kit is None:
        return _no_surface(found)
    unlike = pixels.clipped + (1 - pixels.clipped) * even.unlike
    return ClothColour(found, for_kit, half, lab.std(axis=0), even.shares(lab[:, 0]), pixels.count, unlike)


def _half_width(lab: FloatArray, pixels: ClothPixels, correction: Correction, light: float) -> FloatArray:
    # Above a half the line to where a lost channel may lead takes the place of what is lost.
    return cloth_half_width_90(lab, correction, light, min(pixels.lost, 1 - pixels.lost))


def _of_shine(xyz: FloatArray, shine: float) -> FloatArray:
    """Return the half-widths (3,) in Lab of not knowing how much of a lamp's shine to take off a colour (3,)."""
    off = _PER_SHINE * shine * D65_WHITE
    less, more = (xyz_to_lab(np.maximum(xyz + sign * off, 1e-5), D65_WHITE) for sign in (-1, 1))
    half: FloatArray = np.abs(more - less) / 2
    return half


def _light_doubt(xyz: FloatArray, correction: Correction, light: FloatArray | None, light_error: float) -> float:
    """Return how well the light on a cloth is known, as a logarithm, beyond its angle to the lamp."""
    folds = float(np.log(np.maximum(xyz[:, 1], 1e-4)).std())
    elsewhere = max(correction.uneven - _UNEVEN_AS_A_RULE, 0.0) if light is None else 0.0
    return float(np.hypot(_PER_FOLDS * folds, light_error + elsewhere))


def cloth_half_width_90(lab: FloatArray, correction: Correction, light: float, lost: float = 0.0) -> FloatArray:
    """Return the half-widths (3,) of the 90 % interval of a cloth's Lab (3,); the coefficients are ours (see above).

    light: the half-width of the logarithm of its light. lost: the part of it, 0 to 1, with a channel at black, beyond
    which the colour may go on. The card's dyes are not the cloth's, and what a camera makes of other dyes shows where a
    patch is left out of the fit; the miss is in CIEDE2000 and stands for more in a*, b* the stronger a colour is.
    """
    error = correction.error if correction.basis is CalibrationBasis.CHART else max(correction.error, _CARDLESS_ERROR)
    chroma = float(np.hypot(lab[1], lab[2]))
    seen = error * _PER_ERROR[1:] * (1 + np.array([0.045, 0.015]) * chroma)
    along, across = np.hypot(seen, _PER_LOST * lost * chroma)
    hue = np.arctan2(lab[2], lab[1])
    dyes = np.array(
        [
            error * _PER_ERROR[0],
            np.hypot(along * np.cos(hue), across * np.sin(hue)),
            np.hypot(along * np.sin(hue), across * np.cos(hue)),
        ]
    )
    per_log_light = np.array([lab[0] + 16, lab[1], lab[2]]) / 3  # as f goes with Y^(1/3)
    half: FloatArray = np.sqrt(_FLOOR**2 + dyes**2 + (per_log_light * np.hypot(_ANGLE, light)) ** 2)
    return half


def _unusable(pixels: ClothPixels, strong: bool) -> ClothReason | None:
    if pixels.clipped > _MAX_CLIPPED:
        return ClothReason(
            ClothCode.CLIPPED,
            _(
                "{part} of the cloth is overexposed. Lower the exposure by about one stop, or turn the "
                "cloth until it does not shine.",
                part=whole_percent(pixels.clipped),
            ),
        )
    if pixels.dark > _MAX_DARK:
        return ClothReason(
            ClothCode.DARK,
            _(
                "{part} of the cloth is black in the picture. Add light or raise the exposure.",
                part=whole_percent(pixels.dark),
            ),
        )
    if pixels.lost > LOST_FROM and not strong:
        return ClothReason(
            ClothCode.VIVID,
            _(
                "The colour is stronger than the picture can hold: in {part} of the cloth a colour "
                "channel is at black. Photograph it in daylight with the white balance set to daylight, a "
                "little lighter; if that does not help, only an instrument will.",
                part=whole_percent(pixels.lost),
            ),
        )
    if len(pixels.linear) < min(MIN_CLOTH_PIXELS, pixels.count) or pixels.count < MIN_CLOTH_PIXELS:
        return ClothReason(
            ClothCode.SMALL,
            _(
                "The cloth has {pixels} that can be read, and {needed} are needed. Come closer, or outline a larger "
                "part of it.",
                pixels=ngettext("{count} pixel", "{count} pixels", min(pixels.count, len(pixels.linear))),
                needed=MIN_CLOTH_PIXELS,
            ),
        )
    return None


def _disagreeing(part: EvenPart) -> ClothReason | None:
    if part.other > MAX_OTHER_COLOUR:
        return ClothReason(
            ClothCode.SEVERAL_COLOURS,
            _(
                "{part} of the cloth has another colour than the rest. If it shines, turn it away from "
                "the lamp; if it is a print, ask for its palette with --print; or outline a part of one colour.",
                part=whole_percent(part.other),
            ),
        )
    kept = float(part.kept.mean())
    if kept < MIN_KEPT:
        return ClothReason(
            ClothCode.UNEVEN,
            _(
                "Only {kept} of the cloth agree on a colour, and {needed} are needed. Smooth "
                "the folds out, keep shadows off it, or outline an even part.",
                kept=whole_percent(kept),
                needed=whole_percent(MIN_KEPT),
            ),
        )
    return None


def _for_kit(lab: FloatArray) -> FloatArray | None:
    try:
        return Colours(lab, D65_2).under(D65_10).lab
    except ImpossibleSurface:
        return None


def _lighter_than_white(lab: FloatArray) -> ClothReason:
    return ClothReason(
        ClothCode.LIGHTER_THAN_WHITE,
        _(
            "The cloth reads L* {lightness}, and a perfect white has 100: it gets more light than the card, or throws "
            "back a lamp. Lay the card flat on the cloth and take the photograph again.",
            lightness=f"{lab[0]:.0f}",
        ),
    )


def _no_surface(lab: FloatArray) -> ClothReason:
    L, a, b = (number(value, 0) for value in lab)
    return ClothReason(
        ClothCode.NO_SURFACE,
        _(
            "The reading L* {lightness}, a* {a}, b* {b} is a colour that no cloth can have. Check that the card and "
            "the cloth are in the same light, and that nothing glows.",
            lightness=L,
            a=a,
            b=b,
        ),
    )
