"""Two photographs of one face as they are printed side by side: corrected by their cards, cut alike, scaled alike.

Nothing of the face is changed: each pixel goes through its own card's map for skin, and both through one scale.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb
from tenter.language import N_, _, local_number
from tenter.measured.basis import CalibrationBasis
from tenter.photo.cards import CardChoice, ChartKind, look_for_card
from tenter.photo.face.measure import measure_found
from tenter.photo.face.result import RegionColour
from tenter.photo.files.loading import Photo
from tenter.photo.patches.correction import Correction
from tenter.photo.regions.landmarks import face_sides, face_width, find_face
from tenter.photo.regions.regions import Region

# How far the picture goes from the face's middle, in widths of the face: sideways, up and down; and how far it must.
_WANTED, _NEEDED = (0.95, 1.1, 1.35), (0.6, 0.75, 0.9)
_WIDTH = 560  # pixels of a printed picture: 180 to the inch on 80 mm
_BRIGHTEST = 98.0  # percentile of both that is still printed below white
# Beyond both intervals: how far a cloth itself may move the forehead, where it changes the skin least. Ours.
_BY_CLOTH = 2.0
_AGAIN = N_("take both again, one after the other, in one light")


@dataclass(frozen=True, slots=True)
class SideBySide:
    """The two pictures (height, width, 3) in sRGB, 0 to 255; or none, and the sentence that says why."""

    pictures: tuple[ByteArray, ByteArray] | None
    left_out: str = ""


@dataclass(frozen=True, slots=True)
class _Seen:
    photo: Photo
    forehead: RegionColour
    correction: Correction
    middle: FloatArray
    width: float

    @property
    def room(self) -> tuple[float, float, float]:
        """How far the photograph goes from the face's middle sideways, up and down, in widths of the face."""
        x, y = self.middle
        high, wide = self.photo.rgb.shape[:2]
        return min(x, wide - x) / self.width, y / self.width, (high - y) / self.width


def side_by_side(
    photos: Sequence[Photo],
    names: Sequence[str],
    chart: ChartKind | CardChoice | Sequence[CardChoice] = ChartKind.CLASSIC24,
    foreheads: Sequence[RegionColour | None] = (None, None),
) -> SideBySide:
    """Return two photographs of one face, ready to be printed; `names` say of which one a reason speaks.

    chart: the card in both, or of each its own. foreheads: as each was measured before, where the photograph was
    accepted; None to measure it here.

    Raises
    ------
    MissingPart
        If the part that finds faces is not installed.
    """
    seen = []
    cards = [chart] * len(photos) if isinstance(chart, (ChartKind, CardChoice)) else chart
    for photo, name, card, forehead in zip(photos, names, cards, foreheads, strict=True):
        found = _seen(photo, card, forehead)
        if isinstance(found, _Unseen):
            return SideBySide(None, found.said_of(name))
        seen.append(found)
    one, other = seen
    why = _other_light(one.forehead, other.forehead)
    reach = tuple(min(w, a, b) for w, a, b in zip(_WANTED, one.room, other.room, strict=True))
    if not why and any(r < need for r, need in zip(reach, _NEEDED, strict=True)):
        why = _(
            "one of them is cut too close around the face; leave room for the hair and for the cloth below the chin"
        )
    return SideBySide(None, why) if why else SideBySide(_printed(one, other, reach))


@dataclass(frozen=True, slots=True)
class _Unseen:
    """Why a photograph is not printed. refused: for what it is not accepted; else it has no card to correct it by."""

    refused: str = ""

    def said_of(self, name: str) -> str:
        if self.refused:
            return _("{photograph} is not accepted: {reason}", photograph=name, reason=self.refused)
        return _("{photograph} has no colour card that its colours could be corrected by", photograph=name)


def _seen(photo: Photo, chart: ChartKind | CardChoice, forehead: RegionColour | None) -> _Seen | _Unseen:
    """Return what is seen in a photograph, or why it is not printed."""
    card, search = look_for_card(photo, chart), find_face(photo.rgb)
    if forehead is None:
        measured = measure_found(photo, card, search)
        refused = [reason for reason in measured.reasons if reason.refuses]
        if refused:
            return _Unseen(refused[0].text)
        forehead = measured.regions[Region.FOREHEAD]
    correction, mesh = card.correction, search.mesh_px
    if correction is None or correction.basis is not CalibrationBasis.CHART or mesh is None:
        return _Unseen()
    right, left = face_sides(mesh)
    return _Seen(photo, forehead, correction, (right + left) / 2, face_width(mesh))


def _other_light(a: RegionColour, b: RegionColour) -> str:
    """Return that the light differs by more than the cards take out, told by the foreheads; empty where it does not."""
    if a.lab is None or b.lab is None or a.half_width_90 is None or b.half_width_90 is None:
        return _(
            "the forehead cannot be read in both, so it is not known whether the light was the same; {again}",
            again=_(_AGAIN),
        )
    allowed = np.hypot(a.half_width_90, b.half_width_90) + _BY_CLOTH
    if np.all(np.abs(a.lab - b.lab) <= allowed):
        return ""
    apart = float(delta_e_2000(a.lab, b.lab))
    return _(
        "their light differs by more than the card can take out: the forehead, which a cloth changes least, differs by "
        "ΔE00 {apart}; {again}",
        apart=local_number(apart, 1),
        again=_(_AGAIN),
    )


def _printed(one: _Seen, other: _Seen, reach: tuple[float, ...]) -> tuple[ByteArray, ByteArray]:
    first, second = (_corrected(seen, reach) for seen in (one, other))
    brightest = float(np.percentile(np.concatenate([first, second]).max(axis=-1), _BRIGHTEST))
    scale = 1 / max(1.0, brightest)
    return _coded(first * scale), _coded(second * scale)


def _corrected(seen: _Seen, reach: tuple[float, ...]) -> FloatArray:
    """Return the cut-out (height, width, 3) in linear sRGB, as under D65, 1 for a perfect white."""
    sideways, up, down = (r * seen.width for r in reach)
    x, y = seen.middle
    rows, columns = slice(round(y - up), round(y + down)), slice(round(x - sideways), round(x + sideways))
    linear = seen.correction.tone.linear(seen.photo.code((rows, columns)))
    size = (_WIDTH, round(_WIDTH * (reach[1] + reach[2]) / (2 * reach[0])))
    small: FloatArray = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), dtype=float)
    found: FloatArray = seen.correction.for_skin.xyz(small) @ XYZ_TO_SRGB.T
    return found


def _coded(linear: FloatArray) -> ByteArray:
    return np.round(encode_srgb(np.clip(linear, 0, 1)) * 255).astype(np.uint8)
