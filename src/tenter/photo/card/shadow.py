"""Whether a shadow, a finger or a glare lies on part of a card of patches, and where.

The card is asked for an edge of light along any line and around any block of patches. Four witnesses may see one:

    patches   what changes within a patch is light: its paint is one
    colours   patches beyond the edge are all lighter or darker than the fit of colours allows
    cover     the frame is far lighter at one place, and a patch there has another lightness: something lies on them
    frame     the frame between the patches is one material, but it shines: on real cards its sheen changes by 0.7 to
              0.9 in the logarithm of light, and from one strip to the next. So the frame alone proves nothing. On our
              own card it is the bare paper

What the first three see is refused. What the frame sees alone is pointed out, and L* is given the width of the step
that the colours cannot rule out there. A person who looks at the card may overrule all of it.
"""

from dataclasses import dataclass
from enum import StrEnum

import cv2
import numpy as np

from tenter.arrays import BoolArray, FloatArray
from tenter.colorimetry.intervals import DEVIATIONS_TO_90
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.language import _, local_number
from tenter.photo.card.calibration import Calibration
from tenter.photo.card.patch_fit import linearised, usable_patches
from tenter.photo.card.shadow_shapes import shadows_on, tried_shadows
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.patches.light import FRAME, LightSamples
from tenter.photo.reasons import Code, Reason

# Gains are of the log likelihood, twice. On ten clear real photographs of five cards and 14 rendered ones patches gain
# at most 43 with a step of 0.07, colours 20; sharp shadows of ×0.7 across patches gain 280 or more, and along the gaps
# between patches, where only the colours see them, 26 or more in all but the two photographs of one cabinet.
_PATCHES_GAIN, _PATCHES_STEP = 80.0, 0.08
_COLOURS_GAIN, _COLOURS_STEP = 24.0, 0.15
# Where the frame shows the same step as the colours, less will do.
_AGREED_GAIN, _AGREED_FRAME_GAIN, _AGREED_STEPS = 12.0, 60.0, (0.6, 1.7)
# A thing that covers frame and patches: a frame as much lighter, and a patch that the fit misses by as much L*. Fingers
# drawn on the same 24 cards gain 2,500 or more and miss a patch by 9.7 to 33; clear ones gain 705 and miss 8.1 at most.
_COVER_GAIN, _COVER_STEP, _COVER_MISS = 1000.0, 1.0, 9.0
# Patches that the fit misses by as much L*: of the ten real cards two have one such patch, none has two.
_MISS, _MOST_MISSES = 7.0, 1
# The frame alone: on 600 clear rendered cards, whose frames are matt, the best edge gained 21 and an eighth of the
# misfit.
_FRAME_GAIN, _FRAME_SHARE, _FRAME_STEP = 26.0, 0.14, 0.1
_MAX_GRADIENT = 0.45  # of 60 clear rendered cards the steepest had 0.28
MAX_RANGE = 0.5  # between the most and the least lit patch; beside a head and a window it is 0.32, on real cards 0.42
_WHOLE_PATCH = 6  # samples: a shadow on less than two thirds of a patch is dust


class Witness(StrEnum):
    """What shows an edge of light on a card."""

    PATCHES = "patches"
    COLOURS = "colours"
    COVER = "cover"
    FRAME = "frame"


@dataclass(frozen=True, slots=True)
class LightEdge:
    """An edge of light on a card: who saw it, and its outline (n, 2) in pitches.

    step: of the light, as a logarithm. gain: twice the logarithm of the likelihood that is gained by it. doubt: by how
    much, as a logarithm, the light that the card is taken to have may be off for it. Two corners are a line across the
    card, four go round a block of patches.
    """

    witness: Witness
    step: float
    gain: float
    outline: FloatArray
    doubt: float

    def in_picture(self, calibration: Calibration) -> FloatArray:
        """Return the outline (n, 2) in pixels of the photograph that the card was read in."""
        to_picture, _ = cv2.findHomography(calibration.card.grid.centres, calibration.reading.centres_px)
        corners: FloatArray = cv2.perspectiveTransform(self.outline[None], to_picture)[0]
        return corners


@dataclass(frozen=True, slots=True)
class ShadowFinding:
    """What the light on a card gives cause for: reasons, and the edge if there is one.

    edge: what the frame alone shows is one only where nothing else is suspected; else it is not what the reason means.
    doubt: by how much, as a logarithm, the light that the card is taken to have may be off; L* is doubtful by it.
    """

    reasons: tuple[Reason, ...] = ()
    edge: LightEdge | None = None
    doubt: float = 0.0


NO_SHADOW = ShadowFinding()


def look_for_shadow(calibration: Calibration, evenly_lit: bool = False) -> ShadowFinding:
    """Return what speaks against an even light on the card; evenly_lit: a person has looked and says that it is."""
    edge = edge_on_card(calibration)
    proved = edge is not None and edge.witness is not Witness.FRAME
    steep = float(np.linalg.norm(calibration.gradient)) > _MAX_GRADIENT
    uneven = calibration.light is not None and calibration.light.range > MAX_RANGE
    doubt = 0.0 if edge is None else edge.doubt
    if not (proved or steep or uneven):
        return NO_SHADOW if edge is None else ShadowFinding((_sheen(calibration),), edge, doubt)
    suspected = edge if proved else None
    reason = _overruled(doubt) if evenly_lit else _covered(suspected)
    return ShadowFinding((reason,), suspected, doubt)


def _sheen(calibration: Calibration) -> Reason:
    printed = calibration.card.four_inks
    text = (
        _(
            "One part of the paper between the patches is lighter than the rest. The patches show no shadow, so most "
            "likely the paper only shines. In case there is a shadow, the interval for lightness (L*) is wider. To "
            "narrow it, turn the card until its paper looks equally bright all round, and take the photograph again."
        )
        if printed
        else _(
            "One part of the card's frame is lighter than the rest. The patches show no shadow, so most likely the "
            "frame only shines. In case there is a shadow, the interval for lightness (L*) is wider. To narrow it, "
            "turn the card until its frame looks equally dark all round, and take the photograph again."
        )
    )
    return Reason(Code.CARD_SHINES, text)


def _covered(edge: LightEdge | None) -> Reason:
    seen = _("The light changes too much from one end of the card to the other") if edge is None else _said(edge)
    return Reason(
        Code.CHART_COVERED,
        _(
            "A shadow, a finger or a glare seems to be on the card. {seen}. Keep the card flat and in the same light "
            "as what you measure, with fingers on its rim only, and take the photograph again. If you look at the card "
            "and see none of these, say that it is evenly lit.",
            seen=seen,
        ),
    )


def _said(edge: LightEdge) -> str:
    percent = local_number(100 * np.expm1(abs(edge.step)), 0)
    if edge.witness is Witness.PATCHES:
        return _("Within single patches one side gets {percent} % more light than the other", percent=percent)
    if edge.witness is Witness.COLOURS:
        return _(
            "The card's colours fit together only if one part gets {percent} % more light than the rest",
            percent=percent,
        )
    return _("At least one patch is far from the colour that it should have")


def _overruled(doubt: float) -> Reason:
    said = _(
        "The card seemed to be shaded or covered, and you said that it is evenly lit. It is measured on your word."
    )
    wider = (
        _("In case you are mistaken, the interval for lightness (L*) allows for how the light changes across it.")
        if doubt == 0
        else _(
            "In case you are mistaken, the interval for lightness (L*) allows for a difference of {percent} % in "
            "light.",
            percent=local_number(100 * np.expm1(doubt), 0),
        )
    )
    return Reason(Code.CARD_CALLED_EVEN, f"{said} {wider}")


@dataclass(frozen=True, slots=True)
class _Seen:
    """What one witness says of every shadow: by how much it is brighter (m,), as a logarithm, and the gain (m,)."""

    step: FloatArray
    gain: FloatArray
    misfit: float

    def best(self) -> int:
        return int(self.gain.argmax())


def edge_on_card(calibration: Calibration) -> LightEdge | None:
    """Return the edge of light that is best seen on a card; None where no witness sees one."""
    shapes, colours = tried_shadows(calibration.card.grid), _by_colours(calibration)
    within, frame = (None, None) if calibration.samples is None else _by_light(calibration.samples)

    def edge(witness: Witness, at: int, seen: _Seen) -> LightEdge:
        doubt = abs(float(seen.step[at])) if witness is not Witness.FRAME else _ruled_in(colours, at)
        return LightEdge(witness, float(seen.step[at]), float(seen.gain[at]), shapes.outlines[at], doubt)

    if within is not None:
        at = within.best()
        if within.gain[at] > _PATCHES_GAIN and abs(within.step[at]) > _PATCHES_STEP:
            return edge(Witness.PATCHES, at, within)
    if colours is not None:
        gain = np.where(np.abs(colours.step) > _COLOURS_STEP, colours.gain, 0)
        agreed = np.zeros(len(gain), dtype=bool) if frame is None else _agreed(colours, frame)
        gain = np.where((gain > _COLOURS_GAIN) | ((gain > _AGREED_GAIN) & agreed), gain, 0)
        if gain.max() > 0:
            return edge(Witness.COLOURS, int(gain.argmax()), colours)
    if frame is not None and calibration.lightness_misses.max() > _COVER_MISS:
        gain = np.where(np.abs(frame.step) > _COVER_STEP, frame.gain, 0)
        if gain.max() > _COVER_GAIN:
            return edge(Witness.COVER, int(gain.argmax()), frame)
    if np.count_nonzero(calibration.lightness_misses > _MISS) > _MOST_MISSES:
        return _worst_patch(calibration)
    if frame is not None:
        at = frame.best()
        gained = frame.gain[at] > max(_FRAME_GAIN, _FRAME_SHARE * frame.misfit)
        if gained and abs(frame.step[at]) > _FRAME_STEP:
            return edge(Witness.FRAME, at, frame)
    return None


def _worst_patch(calibration: Calibration) -> LightEdge:
    """Return the patch that the fit misses most as an edge of light around it."""
    missed = float(calibration.lightness_misses.max())
    worst = np.flatnonzero(calibration.used)[int(calibration.lightness_misses.argmax())]
    lightness = float(xyz_to_lab(calibration.card.xyz[worst], D65_WHITE)[0])
    light = 3 * missed / (lightness + 16)  # d ln Y / d L*
    corners = np.array(calibration.card.grid.cells[worst]) + np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    return LightEdge(Witness.COVER, light, 0.0, corners, light)


def _agreed(colours: _Seen, frame: _Seen) -> BoolArray:
    """Return at which shadows (m,) the frame shows about the step that the colours show."""
    ratio = np.divide(frame.step, colours.step, out=np.zeros_like(frame.step), where=colours.step != 0)
    least, most = _AGREED_STEPS
    found: BoolArray = (frame.gain > _AGREED_FRAME_GAIN) & (ratio > least) & (ratio < most)
    return found


def _ruled_in(colours: _Seen | None, at: int) -> float:
    """Return by how much, as a logarithm, the light of a fit is off at most if a shadow is there after all.

    Half of the largest step that the colours leave possible, as the fit lies between both lights.
    """
    if colours is None or colours.gain[at] <= 0:
        return _FRAME_STEP / 2
    step = abs(float(colours.step[at]))
    return (step + DEVIATIONS_TO_90 * step / float(np.sqrt(colours.gain[at]))) / 2


def _by_light(samples: LightSamples) -> tuple[_Seen, _Seen]:
    """Return what is seen within the patches, and what patches and frame show together as if the frame were matt.

    By generalised least squares: what a soft light, the paints and the frame leave is tried on each shadow alone.
    """
    shadows = shadows_on(samples.places, samples.grid)
    of_patch = samples.surface != FRAME
    shaded = shadows[of_patch].sum(axis=0)
    tried = (shaded > _WHOLE_PATCH) & (shaded < np.count_nonzero(of_patch) - _WHOLE_PATCH)
    shadows = np.where(tried, shadows, 0)
    covariance = samples.covariance() + np.diag(samples.sd**2)
    within = covariance[np.ix_(of_patch, of_patch)]
    return (
        _explained(samples.log_light[of_patch], within, shadows[of_patch]),
        _explained(samples.log_light, covariance, shadows),
    )


def _explained(log_light: FloatArray, covariance: FloatArray, shadows: FloatArray) -> _Seen:
    light = log_light - log_light.mean()
    both = np.linalg.solve(covariance, np.concatenate([light[:, None], shadows], axis=1))
    along, size = light @ both[:, 1:], np.maximum((shadows * both[:, 1:]).sum(axis=0), 1e-9)
    return _Seen(along / size, along**2 / size, max(float(light @ both[:, 0]), 1e-9))


def _by_colours(calibration: Calibration) -> _Seen | None:
    """Return what the fit of colours gains when the light beyond each edge is let free; None with too few patches."""
    linear = linearised(calibration.card, calibration.reading, calibration.light)
    if linear is None:
        return None
    missed, by_parameter, by_light = linear
    used = usable_patches(calibration.reading)
    parts = tried_shadows(calibration.card.grid).on_patches[used]
    tried = (parts.sum(axis=0) > 1) & (parts.sum(axis=0) < used.sum() - 1)
    steps = by_light @ np.where(tried, parts, 0)
    basis = np.linalg.qr(by_parameter)[0]

    def beyond(values: FloatArray) -> FloatArray:
        free: FloatArray = values - basis @ (basis.T @ values)
        return free

    left, free = beyond(missed), beyond(steps)
    size, along = np.maximum((free**2).sum(axis=0), 1e-9), left @ free
    misfit = max(float(left @ left), 1e-12)
    explained = np.minimum(along**2 / size / misfit, 1 - 1e-9)
    freedom = len(missed) - by_parameter.shape[1]
    return _Seen(along / size, -freedom * np.log1p(-explained), misfit)
