"""How far off a colour read from a photograph may be: 90 % intervals in L*, a* and b*.

A half-width is a root sum of squares of what can be known from the picture itself:

    floor       tolerance of the card, tone curve, vignetting and everything that leaves no trace in this picture
    fit         grows with the leave-one-out error of the calibration
    metamerism  how far the matrix for skin and the matrix for the card disagree about this colour
    placement   how much the colour changes across the region, since its outline is an opinion
    lamps       signs that the light on the face has another colour than that on the card
    corners     what the lens darkens between card and face, where a wall shows it
    card light  how unevenly the card is lit, beyond what a head beside it does: which light is the face's?
    black       pixels, or patches of the card, with a channel that the camera cut off at black
    card        how well the card's own values are known
    lamp        a lamp by which cameras read skin less well than their card suggests
    file        what a strongly compressed JPEG rounds off
    tilt        how the card is turned against the face, by a lamp aside and by the light that the face shows
    veil        light that lies on the whole card, as far as it is not known
    tint        the light changes colour across the card
    face light  whether the card gets the light that the face gets: a doubt in every single photograph, and its signs
    brightened  signs that the phone has made the face lighter
    recoloured  how far the face has left the colour of the neck, as a filter or make-up makes it

`components` gives each part by name. Some are the same error in every photograph by one camera and card, and a mean of
photographs keeps them; the others belong to one photograph (`ErrorPart.shared`).

The coefficients were set on rendered exposures, not on people: docs/studies/photo-study.md has the set and the
coverage.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import chroma
from tenter.measured.basis import CalibrationBasis

# Per L*, a*, b*: least interval score (T. Gneiting, A. E. Raftery 2007, J. Am. Stat. Assoc. 102, 359-378, eq. 43; from
# memory) on the skin of 380 rendered exposures under 22 lights, and a twelfth wider; those of L* anew on 120 others,
# since the light on the card is read, between what was and the least score there.
_FLOOR = np.array([0.7, 0.6, 0.7])
_PER_LEAVE_ONE_OUT = np.array([0.4, 0.35, 0.53])
_PER_METAMERISM = np.array([0.6, 0.34, 0.56])
_PER_PLACEMENT = np.array([0.38, 0.28, 0.1])
_PER_MIXED = np.array([3.0, 5.4, 5.5])
_MIXED_BY_CHANCE = 0.15  # one lamp shows as much, by cloth and walls that throw light back
_PER_DARKENING = 0.5  # the card stands about half-way between the middle and a corner
_PER_UNEVEN = 1.0
_UNEVEN_AS_A_RULE = 0.33  # logarithm of light on the most lit patch over the least; beside a head and a window
_PER_CRUSHED = np.array([0.0, 7.0, 29.0])
_PER_LOST = np.array([1.7, 5.4, 15.0])
_LOST_AS_A_RULE = 0.125  # of the patches: the strongest colours of a card often lose a channel
# Of the lamp and the file: set on 80 rendered exposures of five faces and tried on 80 of five others, under nine lamps
# and at JPEG quality 30, where the mean step of the table is 96.
_PER_POOR_LIGHT = np.array([0.0, 0.75, 1.15])
_PER_JPEG_STEP = np.array([0.01, 0.016, 0.02])
# Where the patches agree worse than camera and lamp explain, the phone has done more than curve and matrix can follow.
# Few rendered exposures show it; set on two skin patches hidden in ten real photographs of four cards.
_EXPLAINED = 2.0  # mean ΔE00 of patches left out
_PER_UNEXPLAINED = np.array([3.5, 2.5, 2.2])
# A card that is shaded a little leaves no sign of it: by so much, as a logarithm, the light on it may differ.
_FACE_LIGHT = 0.09
# Lips, brows and irises are not among the spectra that the matrix for skin is fitted to.
_UNLIKE_SKIN = np.array([1.4, 2.0, 1.6])


@dataclass(frozen=True, slots=True)
class _DifferenceError:
    """Coefficients, each per L*, a*, b*: a floor, a part of the size of the difference, and placement."""

    floor: FloatArray
    per_delta: FloatArray
    per_placement: FloatArray


# What the camera does to both regions cancels, and what remains grows with the difference. Without a card its tone
# curve and exposure are unknown, and so is the scale of every difference.
_WITH_CARD = _DifferenceError(np.array([0.7, 0.5, 0.8]), np.array([0.03, 0.06, 0.14]), np.array([0.5, 1.2, 0.7]))
_WITHOUT_CARD = _DifferenceError(np.array([1.0, 0.7, 0.8]), np.array([0.25, 0.25, 0.4]), np.array([0.5, 0.8, 0.9]))


# From one grey or white: what the camera does with chroma is unknown, so the interval grows with it. Set on 200
# rendered exposures with a grey card and 200 with paper, tried on 400 others (docs/studies/photo-study.md).
_NEUTRAL_FLOOR = np.array([1.4, 1.3, 1.3])
_NEUTRAL_PER_ERROR = np.array([0.8, 0.2, 0.0])
_NEUTRAL_PER_CHROMA = np.array([0.13, 0.23, 0.3])
_NEUTRAL_PER_PLACEMENT = np.array([0.4, 1.9, 1.3])


@dataclass(frozen=True, slots=True)
class ColourEvidence:
    """What a photograph says about the error of one colour.

    leave_one_out: mean ΔE00 of the card's patches, each left out. metamerism: (3,), by how much Lab the two matrices
    disagree. log_spread: standard deviation of the logarithm of luminance across the region. is_skin: whether the
    region is covered by the skin spectra of the matrix fit. On the basis of a grey the first is what such a neutral is
    known to leave, and the second says nothing.

    mixed: signs of two lamps, where 1 is too much: the photograph is refused. darkening: of the corners against the
    middle, as a logarithm. crushed: part of the region's pixels with a channel at black. lost: part of the card's
    patches with one.

    doubt: half-widths in Lab that the card's own values add. recoloured: half-widths that a filter or make-up may add.
    uneven: the light on the card, from its most lit patch to its least, as a logarithm. light_doubt: a step in it, as a
    logarithm, that cannot be ruled out. poor_light: how likely the lamp is a poor one, 0 to 1. jpeg_step: the mean step
    of the table by which the file's JPEG was rounded, where 1 is the finest.

    tilt: half-width, in logarithms of light, by how the card is turned. face_light: the same by signs that card and
    face are not in one light, a logarithm. brightened: a logarithm too, by signs that the phone has made the face
    lighter. veil: half-widths in Lab by a veil on the card. tint: half-widths in a*, b* by a change of colour across
    it.
    """

    leave_one_out: float
    metamerism: FloatArray
    log_spread: float
    is_skin: bool
    basis: CalibrationBasis = CalibrationBasis.CHART
    mixed: float = 0.0
    darkening: float = 0.0
    crushed: float = 0.0
    lost: float = 0.0
    doubt: tuple[float, float, float] = (0.0, 0.0, 0.0)
    uneven: float = 0.0
    light_doubt: float = 0.0
    poor_light: float = 0.0
    jpeg_step: float = 0.0
    recoloured: tuple[float, float, float] = (0.0, 0.0, 0.0)
    tilt: float = 0.0
    face_light: float = 0.0
    brightened: float = 0.0
    veil: tuple[float, float, float] = (0.0, 0.0, 0.0)
    tint: tuple[float, float] = (0.0, 0.0)


class ErrorPart(StrEnum):
    """What makes an interval as wide as it is; see the head of this module."""

    FLOOR = "floor"
    FIT = "fit"
    METAMERISM = "metamerism"
    CHROMA = "chroma"
    PLACEMENT = "placement"
    LAMPS = "lamps"
    CORNERS = "corners"
    CARD_LIGHT = "card light"
    BLACK = "black"
    CARD = "card"
    LAMP = "lamp"
    FILE = "file"
    RECOLOURED = "recoloured"
    TILT = "tilt"
    VEIL = "veil"
    TINT = "tint"
    FACE_LIGHT = "face light"
    BRIGHTENED = "brightened"

    @property
    def shared(self) -> bool:
        """Whether photographs of one face by one camera and card have this error in common."""
        return self in _SHARED

    @property
    def of_card_light(self) -> bool:
        """Whether this error is another light on the card than on the face: a card held anew makes it anew."""
        return self in _OF_CARD_LIGHT


# What camera, card, lens and filter do they do again, and the outline of a region runs where it ran before: L* of one
# face in two of 175 rendered photographs differs by 0.54 in the root mean square, where fit and lamps foresee 0.50 and
# placement, were it each photograph's own, 1.47. Another light or hold of the card changes the rest.
_SHARED = frozenset(
    {
        *(ErrorPart.FLOOR, ErrorPart.METAMERISM, ErrorPart.CHROMA, ErrorPart.PLACEMENT),
        *(ErrorPart.CORNERS, ErrorPart.CARD, ErrorPart.LAMP, ErrorPart.RECOLOURED, ErrorPart.BRIGHTENED),
    }
)
_OF_CARD_LIGHT = frozenset({ErrorPart.CARD_LIGHT, ErrorPart.TILT, ErrorPart.VEIL, ErrorPart.TINT, ErrorPart.FACE_LIGHT})


def placement(lab: FloatArray, log_spread: float) -> FloatArray:
    """Return how far (3,) a Lab colour (3,) moves when the light changes by the spread of its region's log luminance.

    log_spread: the standard deviation of the natural logarithm of luminance. To first order, as CIELAB's f goes with
    Y^(1/3).
    """
    per_log_light = np.array([(lab[0] + 16) / 3, lab[1] / 3, lab[2] / 3])  # d Lab / d ln Y, as f goes with Y^(1/3)
    moved: FloatArray = np.abs(per_log_light) * log_spread
    return moved


def colour_half_width_90(lab: FloatArray, evidence: ColourEvidence) -> FloatArray:
    """Return the half-widths (3,) of the 90 % interval of a calibrated Lab colour (3,)."""
    return width_of(components(lab, evidence))


def width_of(parts: Mapping[ErrorPart, FloatArray]) -> FloatArray:
    """Return the half-widths (3,) of some parts, given as squares (3,)."""
    half: FloatArray = np.sqrt(np.sum(list(parts.values()), axis=0))
    return half


def components(lab: FloatArray, evidence: ColourEvidence) -> dict[ErrorPart, FloatArray]:
    """Return the squares (3,) of the half-widths of a colour's 90 % interval, part by part; they add up to the whole.

    Those of one kind are `{part: unlike * square for part, square in components(...).items() if part.shared}`.
    """
    parts = _neutral_parts(lab, evidence) if evidence.basis is CalibrationBasis.GREY else _card_parts(lab, evidence)
    parts |= _light_parts(lab, evidence)
    parts |= {
        ErrorPart.LAMP: (_PER_POOR_LIGHT * evidence.poor_light) ** 2,
        ErrorPart.FILE: (_PER_JPEG_STEP * evidence.jpeg_step) ** 2,
    }
    parts |= {ErrorPart.CARD: np.square(evidence.doubt), ErrorPart.RECOLOURED: np.square(evidence.recoloured)}
    unlike = np.ones(3) if evidence.is_skin else _UNLIKE_SKIN**2
    return {part: unlike * square for part, square in parts.items()}


def _card_parts(lab: FloatArray, evidence: ColourEvidence) -> dict[ErrorPart, FloatArray]:
    pixels = (_PER_CRUSHED * evidence.crushed) ** 2
    unexplained = max(evidence.leave_one_out - _EXPLAINED, 0)
    return {
        ErrorPart.FLOOR: _FLOOR**2,
        ErrorPart.FIT: (_PER_LEAVE_ONE_OUT * evidence.leave_one_out) ** 2 + (_PER_UNEXPLAINED * unexplained) ** 2,
        ErrorPart.METAMERISM: (_PER_METAMERISM * evidence.metamerism) ** 2,
        ErrorPart.PLACEMENT: (_PER_PLACEMENT * placement(lab, evidence.log_spread)) ** 2,
        ErrorPart.BLACK: pixels + (_PER_LOST * max(evidence.lost - _LOST_AS_A_RULE, 0)) ** 2,
    }


def _neutral_parts(lab: FloatArray, evidence: ColourEvidence) -> dict[ErrorPart, FloatArray]:
    return {
        ErrorPart.FLOOR: _NEUTRAL_FLOOR**2,
        ErrorPart.FIT: (_NEUTRAL_PER_ERROR * evidence.leave_one_out) ** 2,
        ErrorPart.CHROMA: (_NEUTRAL_PER_CHROMA * chroma(lab)) ** 2,
        ErrorPart.PLACEMENT: (_NEUTRAL_PER_PLACEMENT * placement(lab, evidence.log_spread)) ** 2,
    }


def _light_parts(lab: FloatArray, evidence: ColourEvidence) -> dict[ErrorPart, FloatArray]:
    """Return what the light adds where it is not the same on the face as on the card."""
    return {
        ErrorPart.LAMPS: (_PER_MIXED * max(evidence.mixed - _MIXED_BY_CHANCE, 0)) ** 2,
        ErrorPart.CORNERS: (_PER_DARKENING * placement(lab, max(evidence.darkening, 0))) ** 2,
        ErrorPart.TILT: placement(lab, evidence.tilt) ** 2,
        ErrorPart.VEIL: np.square(evidence.veil),
        ErrorPart.TINT: np.square([0.0, *evidence.tint]),
        ErrorPart.BRIGHTENED: placement(lab, evidence.brightened) ** 2,
        ErrorPart.FACE_LIGHT: placement(lab, float(np.hypot(_FACE_LIGHT, evidence.face_light))) ** 2,
        ErrorPart.CARD_LIGHT: (_PER_UNEVEN * placement(lab, max(evidence.uneven - _UNEVEN_AS_A_RULE, 0))) ** 2
        + placement(lab, evidence.light_doubt) ** 2,
    }


def relative_half_width_90(delta: FloatArray, placements: FloatArray, calibrated: bool) -> FloatArray:
    """Return the half-widths (3,) of the difference (3,) of two regions whose placements are (2, 3)."""
    error = _WITH_CARD if calibrated else _WITHOUT_CARD
    size = float(np.linalg.norm(delta))
    squares = error.floor**2 + (error.per_delta * size) ** 2 + ((error.per_placement * placements) ** 2).sum(axis=0)
    half: FloatArray = np.sqrt(squares)
    return half
