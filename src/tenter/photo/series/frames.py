"""The frames of a series: each read by its own mesh, and held against the others for motion and for locked settings."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import decode_srgb
from tenter.language import _, local_number
from tenter.measured.written_series import WrittenFrame
from tenter.numerals import whole_percent
from tenter.photo.face import gate
from tenter.photo.files.loading import Photo
from tenter.photo.patches.chart import HIGH_CODE, LOW_CODE, ChartReading, find_chart
from tenter.photo.patches.correction import Correction
from tenter.photo.regions.landmarks import face_width, find_face
from tenter.photo.regions.regions import SKIN, Region, RegionPixels, read_region

READ = (*SKIN, Region.LIPS)
# Beyond these the face stands elsewhere in the light, and its shading is no longer the same. Practice, no source.
MAX_SHIFT, MAX_TURN_DEGREES, MAX_SCALE, MAX_DEFORMED = 0.25, 10.0, 1.12, 0.03
# Between two frames under locked settings the card's mean moves by less than half a percent; a lamp's flicker is one or
# two. Beyond LOOSE a camera's tone curve may have moved with the exposure, and a card cannot take that out.
LOOSE_EXPOSURE, LOOSE_BALANCE = 0.10, 0.05
UNSTEADY_EXPOSURE, UNSTEADY_BALANCE = 0.03, 0.015
# The background catches some of the cloth's light itself, and nothing can be taken out by it.
BACKGROUND_EXPOSURE, BACKGROUND_BALANCE = 0.045, 0.03
_RIM = 0.3  # face widths kept clear around the face before anything counts as background
_MIN_PATCHES = 8
_TOP, _CHIN = 10, 152  # points of the face mesh
_DRAPE = (0.3, 0.55, 0.2)  # below the chin, from and to in heights of the face, and half as wide: surely cloth


@dataclass(frozen=True, slots=True)
class FrameOfSeries:
    """One photograph of a series.

    mesh_px (478, 2) or None, regions by name, card: the code values of the card's patches (24, 3) with NaN for those
    clipped, or None; background: code values (k, 3) beside the head, NaN where something else lies. why: what
    keeps it out of the series, or None. drape: the code value (3,) below the chin, where the drape is; None where the
    picture ends above it.
    """

    name: str
    letter: str
    mesh_px: FloatArray | None
    regions: Mapping[Region, RegionPixels]
    card: FloatArray | None
    background: FloatArray
    why: str | None = None
    drape: FloatArray | None = None

    @property
    def written(self) -> WrittenFrame:
        """What is said of it."""
        return WrittenFrame(self.name, self.letter, self.why)


def read_frame(photo: Photo, name: str, letter: str, with_card: bool) -> FrameOfSeries:
    """Return what a photograph of a series shows.

    Raises `MissingPart` if the part that finds faces is not installed.
    """
    search = find_face(photo.rgb)
    reasons = gate.face_reasons(search)
    mesh = search.mesh_px
    reading = find_chart(photo) if with_card else None
    card = None if reading is None else _patches(reading)
    if mesh is None or reasons:
        return FrameOfSeries(name, letter, None, {}, card, np.empty((0, 3)), reasons[0].text)
    why = None
    if with_card and card is None:
        why = _("No card was found in it. Don't move the card until the last photograph is taken.")
    return FrameOfSeries(name, letter, mesh, {}, card, _background(photo, mesh), why)


def with_regions(frames: Sequence[FrameOfSeries], photos: Sequence[Photo]) -> list[FrameOfSeries]:
    """Return the frames with their regions cut, those whose face has moved too far marked with why.

    The outline is the middle one of all frames, laid onto each frame's own landmarks: one mesh is off by a pixel or
    two on every picture, and on a nose that is more than any cloth does.
    """
    meshes = [frame.mesh_px for frame in frames if frame.why is None and frame.mesh_px is not None]
    if not meshes:
        return list(frames)
    middle = _middle(np.stack(meshes))
    return [
        _cut(frame, photo, middle) if frame.why is None else frame for frame, photo in zip(frames, photos, strict=True)
    ]


def _cut(frame: FrameOfSeries, photo: Photo, middle: FloatArray) -> FrameOfSeries:
    if frame.mesh_px is None:
        return frame
    pose = _Pose.of(middle, frame.mesh_px)
    why = _motion(pose)
    if why is not None:
        return replace(frame, why=why)
    outline = pose.laid(middle)
    regions = {region: read_region(photo, outline, region) for region in READ}
    wrong = gate.picture_reasons(photo.rgb, frame.mesh_px, regions)
    drape = _drape(photo, frame.mesh_px)
    return replace(frame, regions=regions, drape=drape, why=wrong[0].text if wrong else None)


def _drape(photo: Photo, mesh: FloatArray) -> FloatArray | None:
    """Return the middle code value (3,) of a patch below the chin, where a drape hangs."""
    tall = float(np.linalg.norm(mesh[_CHIN] - mesh[_TOP]))
    x, y = mesh[_CHIN]
    upper, lower, half = (part * tall for part in _DRAPE)
    rows, columns = slice(round(y + upper), round(y + lower)), slice(max(round(x - half), 0), round(x + half))
    if rows.stop > photo.rgb.shape[0]:
        return None
    found: FloatArray = np.median(photo.code((rows, columns)).reshape(-1, 3), axis=0)
    return found


def _patches(reading: ChartReading) -> FloatArray:
    crushed = reading.crushed.any(axis=1) | reading.clipped | reading.outside
    code: FloatArray = np.where(crushed[:, None], np.nan, reading.code)
    return code


def _background(photo: Photo, mesh: FloatArray) -> FloatArray:
    """Return the mean colour (k, 3) of a grid of squares beside and above the head, placed by the picture."""
    height, width = photo.rgb.shape[:2]
    low, high = mesh.min(axis=0), mesh.max(axis=0)
    rim = _RIM * (high[0] - low[0])
    cells = []
    for top in np.linspace(0.02, 0.5, 7):
        for left in np.linspace(0.02, 0.9, 12):
            y, x = int(top * height), int(left * width)
            side = max(8, int(0.07 * width))
            clear = x + side < low[0] - rim or x > high[0] + rim
            cell = photo.code((slice(y, y + side), slice(x, x + side))).reshape(-1, 3)
            plain = clear and y + side < high[1] and (cell < HIGH_CODE).all() and (cell > LOW_CODE).any()
            cells.append(cell.mean(axis=0) if plain and cell.std(axis=0).max() < 0.06 else np.full(3, np.nan))
    return np.array(cells)


def settled_cards(frames: Sequence[FrameOfSeries]) -> list[FloatArray | None]:
    """Return the patches (n, 3) of every frame the same way up as in the first that shows them; None without.

    The frames' `card` has that shape.
    """
    first = next((frame.card for frame in frames if frame.card is not None), None)
    settled: list[FloatArray | None] = []
    for frame in frames:
        card = frame.card
        if card is None or first is None:
            settled.append(None)
        else:
            settled.append(min((card, card[::-1]), key=lambda seen: float(np.nanmean(np.abs(seen - first)))))
    return settled


def gains(anchors: Sequence[FloatArray | None], correction: Correction | None) -> FloatArray | None:
    """Return by what (n, 3) the linear light of each of n frames is multiplied to make its anchor that of all frames.

    The anchors are the card's patches or the background's squares, (k, 3) each; None without enough of them.
    """
    if any(anchor is None for anchor in anchors) or not anchors:
        return None
    stacked = np.stack([anchor for anchor in anchors if anchor is not None])
    kept = stacked[:, np.isfinite(stacked).all(axis=(0, 2))]
    if kept.shape[1] < _MIN_PATCHES:
        return None
    linear = correction.tone.linear(kept) if correction else decode_srgb(kept)
    ratio: FloatArray = np.median(linear.mean(axis=0) / np.maximum(linear, 1e-4), axis=1)
    return ratio


@dataclass(frozen=True, slots=True)
class Steadiness:
    """How far exposure and white balance moved over a series, and the frames that lie furthest apart.

    exposure and balance: the largest change between two frames, as a share of the light; 0 is none.
    """

    exposure: float
    balance: float
    frames: tuple[str, str]

    @classmethod
    def of(cls, ratio: FloatArray, names: Sequence[str]) -> "Steadiness":
        """Return the steadiness of gains (n, 3) of frames, which have these names."""
        logs = np.log(ratio)
        level = logs.mean(axis=1)
        colour = logs[:, [0, 2]] - logs[:, [1]]
        ends = (names[int(level.argmax())], names[int(level.argmin())])
        return cls(float(np.expm1(np.ptp(level))), float(np.expm1(np.ptp(colour, axis=0).max())), ends)

    @property
    def loose(self) -> bool:
        """Whether the settings were not locked at all."""
        return self.exposure > LOOSE_EXPOSURE or self.balance > LOOSE_BALANCE

    @property
    def unsteady_background(self) -> bool:
        """Whether the background moved by more than a cloth's light and noise do."""
        return self.exposure > BACKGROUND_EXPOSURE or self.balance > BACKGROUND_BALANCE

    @property
    def unsteady(self) -> bool:
        """Whether something moved by more than noise does."""
        return self.exposure > UNSTEADY_EXPOSURE or self.balance > UNSTEADY_BALANCE


@dataclass(frozen=True, slots=True)
class _Pose:
    """Where a face stands against the middle of the series: scale, turn (2, 2), shift (2,) and what is left over.

    width: of the middle face in pixels. deformed: root mean square of what no shift, turn or scale explains, in pixels.
    """

    scale: float
    turn: FloatArray
    there: FloatArray
    here: FloatArray
    width: float
    deformed: float

    @classmethod
    def of(cls, middle: FloatArray, mesh: FloatArray) -> "_Pose":
        """Return the pose that lays `middle` onto `mesh`, both (478, 2), by least squares."""
        there, here = middle.mean(axis=0), mesh.mean(axis=0)
        u, spread, vt = np.linalg.svd((middle - there).T @ (mesh - here))
        scale, turn = float(spread.sum() / ((middle - there) ** 2).sum()), u @ vt
        left = (mesh - here) - scale * (middle - there) @ turn
        width = face_width(middle)
        return cls(scale, turn, there, here, width, float(np.sqrt((left**2).sum(axis=1).mean())))

    def laid(self, mesh: FloatArray) -> FloatArray:
        """Return a mesh (478, 2) of the middle place where this frame has it."""
        moved: FloatArray = self.scale * (mesh - self.there) @ self.turn + self.here
        return moved


def _middle(meshes: FloatArray) -> FloatArray:
    """Return the middle mesh (478, 2) of (n, 478, 2): its shape without each frame's shift and turn."""
    middle: FloatArray = np.median(meshes, axis=0)
    poses = [_Pose.of(middle, mesh) for mesh in meshes]
    back = [(mesh - p.here) / p.scale @ p.turn.T + p.there for mesh, p in zip(meshes, poses, strict=True)]
    averaged: FloatArray = np.mean(np.stack(back), axis=0)
    return averaged


def _motion(pose: _Pose) -> str | None:
    """Return why a face has moved too far from its middle place in the series, in plain words, or None."""
    degrees = abs(float(np.degrees(np.arctan2(pose.turn[0, 1], pose.turn[0, 0]))))
    shift = float(np.linalg.norm(pose.here - pose.there)) / pose.width
    if shift > MAX_SHIFT:
        return _(
            "The face has moved by {percent} of its width. Let the client lean the head back, and use a stand.",
            percent=whole_percent(shift),
        )
    if max(pose.scale, 1 / pose.scale) > MAX_SCALE:
        return _(
            "The face is {percent} off the size of the others. Leave the camera in its place.",
            percent=whole_percent(abs(pose.scale - 1)),
        )
    if degrees > MAX_TURN_DEGREES:
        return _(
            "The head is tilted {degrees}° from where it was. Ask the client to hold it straight.",
            degrees=local_number(degrees, 0),
        )
    if pose.deformed > MAX_DEFORMED * pose.width:
        return _("The head is turned or the face moves. Ask the client to look at one point and rest the face.")
    return None
