"""Cards and faces held otherwise than in the rendered scenes: pixels of finished photographs are moved.

What the card's white and the face look like is not changed by that, so the truth stays. A face that is turned is drawn
narrower or shorter, as a flat mask would be; its own depth is not in these figures.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import cv2
import numpy as np

from studies.clients.targets import Target, at_most
from studies.photo.card_faults import fingered
from studies.photo.photo_accuracy import HEADING, line
from studies.photo.photo_gate import WRONG, unspoiled
from studies.photo.photo_runs import Run, run_all
from studies.scenes.exposure import SKINS, Exposure, Plan
from tenter.arrays import ByteArray, FloatArray
from tenter.photo.face.result import PhotoVerdict

Pose = Callable[[ByteArray, FloatArray], ByteArray]
_MARGIN_PX = 4  # around the card, moved with it
_ROOM_PX = 150  # of wall added on the card's side, so that it can be turned


def _side(picture: ByteArray, corners: FloatArray) -> bool:
    """Return whether the card is on the right."""
    return bool(corners[:, 0].mean() > picture.shape[1] / 2)


def _wall(picture: ByteArray) -> tuple[int, ...]:
    return tuple(int(v) for v in np.median(picture[:20].reshape(-1, 3), axis=0))


def moved_card(
    picture: ByteArray, corners: FloatArray, turn: float = 0.0, size: float = 1.0, tilt: float = 0.0, copies: int = 1
) -> ByteArray:
    """Return a picture with the card turned and tilted about its upright axis, in degrees, and made smaller.

    A second copy stands below the first, in less light. The wall's colour hides where the card was.
    """
    right = _side(picture, corners)
    room = ((0, 0), (0, _ROOM_PX) if right else (_ROOM_PX, 0), (0, 0))
    wide = np.pad(picture, room)
    added = slice(picture.shape[1], None) if right else slice(0, _ROOM_PX)
    wide[:, added] = _wall(picture)
    at = corners + ((0, 0) if right else (_ROOM_PX, 0))
    low, high = at.min(axis=0) - _MARGIN_PX, at.max(axis=0) + _MARGIN_PX
    source = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    card = wide.copy()
    x0, y0, x1, y1 = (*np.floor(low).astype(int), *np.ceil(high).astype(int))
    wide[max(y0, 0) : y1, max(x0, 0) : x1] = np.median(wide[max(y0 - 12, 0) : max(y0 - 2, 1), x0:x1], axis=(0, 1))
    middle = source.mean(axis=0) + ((_ROOM_PX / 2, 0) if right else (-_ROOM_PX / 2, 0))
    for copy in range(copies):
        place = middle + np.array([0, (copy - (copies - 1) / 2) * 280 * size])
        target = place + _posed(source - source.mean(axis=0), turn, size, tilt)
        wide = _pasted(wide, card, source, target, 0.6 if copy else 1.0)
    return wide


def _posed(points: FloatArray, turn: float, size: float, tilt: float) -> FloatArray:
    """Return points (4, 2) about the middle after a turn, seen from four times the card's height away."""
    a, b = np.radians([turn, tilt])
    turned = points @ np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]]) * size
    depth = 1 + turned[:, :1] * np.sin(b) / (4 * 280 * size)
    seen: FloatArray = turned * np.array([np.cos(b), 1.0]) / depth
    return seen


def _pasted(under: ByteArray, card: ByteArray, source: FloatArray, target: FloatArray, light: float) -> ByteArray:
    size = float(np.linalg.norm(target[2] - target[0]) / np.linalg.norm(source[2] - source[0]))
    soft = cv2.GaussianBlur(card, (0, 0), 0.4 / size) if size < 0.9 else card
    to_target = cv2.getPerspectiveTransform(source.astype(np.float32), target.astype(np.float32))
    shape = (under.shape[1], under.shape[0])
    drawn = cv2.warpPerspective(soft, to_target, shape, flags=cv2.INTER_CUBIC)
    inside = np.zeros(under.shape[:2], dtype=np.uint8)
    cv2.fillConvexPoly(inside, np.round(target).astype(np.int32), 1)
    return np.where(inside[..., None] > 0, (drawn * light**0.45).astype(np.uint8), under)


def at_edge(picture: ByteArray, corners: FloatArray, lost: float) -> ByteArray:
    """Return a picture that ends at the card's outer edge, or a part of its width within."""
    left, right = corners[:, 0].min(), corners[:, 0].max()
    within = lost * (right - left)
    kept = np.s_[:, : round(right - within)] if _side(picture, corners) else np.s_[:, round(left + within) :]
    return np.ascontiguousarray(picture[kept])


def draped(picture: ByteArray, corners: FloatArray, part: float) -> ByteArray:
    """Return a picture with the drape's colour over the lower part of the card."""
    cloth = np.median(picture[-60:-20, 280:360].reshape(-1, 3), axis=0)
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    covered = picture.copy()
    start = int(bottom - part * (bottom - top))
    covered[start:, max(int(left) - 10, 0) : int(right) + 10] = cloth.astype(np.uint8)
    return covered


def farther(picture: ByteArray, _: FloatArray, size: float) -> ByteArray:
    """Return a picture in which everything is smaller, in a larger room, of the same number of pixels across."""
    height, width = picture.shape[:2]
    small = cv2.resize(picture, None, fx=size, fy=size, interpolation=cv2.INTER_AREA)
    room = np.empty_like(picture)
    room[:] = _wall(picture)
    top, left = height - small.shape[0], (width - small.shape[1]) // 2
    room[top:, left : left + small.shape[1]] = small
    return room


def squeezed(picture: ByteArray, _: FloatArray, across: float, along: float) -> ByteArray:
    return cv2.resize(picture, None, fx=across, fy=along, interpolation=cv2.INTER_AREA).astype(np.uint8)


def rolled(picture: ByteArray, _: FloatArray, degrees: float) -> ByteArray:
    """Return a picture turned about its middle, with wall around it so that nothing is lost."""
    height, width = picture.shape[:2]
    side = int(np.hypot(height, width))
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    turn[:, 2] += (side - width) / 2, (side - height) / 2
    return np.asarray(cv2.warpAffine(picture, turn, (side, side), flags=cv2.INTER_CUBIC, borderValue=_wall(picture)))


def face_at_edge(picture: ByteArray, corners: FloatArray, lost: float) -> ByteArray:
    """Return a picture cropped on the side without the card, at the face's edge or further in."""
    right = _side(picture, corners)
    middle, from_middle = (285 if right else 355), round(125 * (1 - 2 * lost))
    kept = np.s_[:, middle - from_middle :] if right else np.s_[:, : middle + from_middle]
    return np.ascontiguousarray(picture[kept])


def mirrored(picture: ByteArray, _: FloatArray) -> ByteArray:
    return np.ascontiguousarray(picture[:, ::-1])


POSES: dict[str, Pose] = {
    **{f"card turned by {turn}°": partial(moved_card, turn=turn) for turn in (90, 180, 270, 25)},
    "card tilted by 25°": partial(moved_card, tilt=25),
    "card tilted by 40°": partial(moved_card, tilt=40),
    **{f"card at {size:.0%} of its size": partial(moved_card, size=size) for size in (0.6, 0.4, 0.25, 0.2)},
    "two cards, one in less light": partial(moved_card, copies=2, size=0.9),
    "card's frame at the picture's edge": partial(at_edge, lost=0.0),
    "card cut by a fiftieth": partial(at_edge, lost=0.02),
    "finger on a patch": partial(fingered, box=(0.75, 0.5, 1.1, 4 / 6)),
    "drape over a tenth of the card": partial(draped, part=0.1),
    "drape over a third": partial(draped, part=0.33),
    "mirrored": mirrored,
    "half as large": partial(farther, size=0.5),
    "a third as large": partial(farther, size=0.33),
    "turned to the side by 25°": partial(squeezed, across=0.906, along=1.0),
    "bent down by 25°": partial(squeezed, across=1.0, along=0.906),
    "head and card aslant by 25°": partial(rolled, degrees=25),
    "face touches the edge": partial(face_at_edge, lost=0.0),
    "a quarter of the face cut": partial(face_at_edge, lost=0.25),
}


@dataclass(frozen=True)
class PosedPlan:
    """One photograph whose card or face is moved after it was taken."""

    plan: Plan
    pose: str

    def take(self) -> Exposure:
        taken = self.plan.take()
        corners = np.asarray(taken.scene.card_corners_px, dtype=float)
        return replace(taken, picture=POSES[self.pose](taken.picture, corners))


def pose_runs(count: int, seed: int, world: str = "rendered") -> list[tuple[str, Run]]:
    """Return what becomes of so many photographs in each pose."""
    upright = [replace(plan, shot=replace(plan.shot, rotate=0.0)) for plan in unspoiled(len(SKINS) * 9, seed, world)]
    plans = [PosedPlan(upright[(k * 7 + n) % len(upright)], pose) for k, pose in enumerate(POSES) for n in range(count)]
    return [(plan.pose, run) for plan, run in zip(plans, run_all(plans, "poses"), strict=True)]


def pose_table(runs: Sequence[tuple[str, Run]]) -> list[str]:
    """Return what became of each pose, and the skin of what was accepted."""
    lines = [" " * 33 + "refused" + HEADING[19:]]
    for pose in POSES:
        some = [run for name, run in runs if name == pose]
        refused = [run for run in some if run.verdict is PhotoVerdict.REFUSED]
        codes = Counter(code for run in refused for code in run.codes if code != "uneven_light")
        rows = [row for run in some for row in run.skin]
        told = ", ".join(code for code, _ in codes.most_common(3))
        lines.append(f"{pose:34s}{len(refused):3d}/{len(some):2d} {line('', rows)[19:]}   {told}".rstrip())
    return lines


def pose_targets(runs: Sequence[tuple[str, Run]]) -> list[Target]:
    """Return what is wanted of them all: nothing accepted that is wrong."""
    accepted = [run for _, run in runs if run.verdict is not PhotoVerdict.REFUSED and run.skin]
    wrong = [run for run in accepted if run.error > WRONG]
    return [at_most(f"posed, accepted and wrong (ΔE00 > {WRONG}), of {len(accepted)}", len(wrong), 0)]
