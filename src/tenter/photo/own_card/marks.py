"""Find the corner marks of our own cards in a picture, and which of them stand on one card.

Other sheets carry marks of the same family, with the same numbers. So no mark is believed for its number: marks are
ours where three or four of them are as large, and lie to one another, as on the flat card. Detection: cv2.aruco of
OpenCV.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import cv2
import numpy as np

from tenter.arrays import ByteArray, FloatArray
from tenter.photo.own_card import layout

DICTIONARY = cv2.aruco.DICT_4X4_50
MIN_MARKERS = 3  # of four: three give an affine map
_MISREAD_SQUARES = 2  # of a mark that may be misread
_DETECTION_SIDES = (1000, 1600, 2400)  # long side in pixels that the picture is brought to: small marks need the larger
_STRAY_MM = 1.5  # a corner of a mark that lies further from its place than this: the card is bent, or it is none
_BENT_MM = 15.0  # a mark as near as this to its place belongs to the card, and shows that it is bent
_MOST_ALIKE = 6  # marks of one number that are looked at, the largest: a sheet of marks may carry many
Marks = dict[int, FloatArray]


@dataclass(frozen=True, slots=True)
class PlacedCard:
    """A card in the picture: its marks' corners (4, 2) by number, and the homography (3, 3) from millimetres on it."""

    marks: Marks
    from_card: FloatArray

    @property
    def corners_px(self) -> FloatArray:
        """The corners (4, 2) of the card's paper, clockwise from its own upper left."""
        return carried(layout.CARD_CORNERS_MM, self.from_card)


@dataclass(frozen=True, slots=True)
class MarksSeen:
    """What there is of corner marks in a picture.

    cards: every card of ours, the one with most marks first. numbers: different marks seen, 0 to 4, on a card or not.
    bent: whether marks were seen that lie nearly, and not quite, as on a flat card.
    """

    cards: tuple[PlacedCard, ...]
    numbers: int
    bent: bool


def find_marks(rgb: ByteArray) -> MarksSeen:
    """Return the cards of ours whose marks can be seen in a picture (height, width, 3), any way up, at any tilt.

    A mirrored picture shows them too.
    """
    best = MarksSeen((), 0, bent=False)
    for side in _DETECTION_SIDES:
        for mirrored in (False, True):
            found = _sorted_out(_marks(rgb, side, mirrored))
            best = max(best, found, key=_worth)
            if found.cards:
                break
        if best.cards and len(best.cards[0].marks) == len(layout.CARD_MARKERS_MM):
            break
    return best


def carried(points: FloatArray, homography: FloatArray) -> FloatArray:
    """Return points (..., 2) carried through a homography (3, 3)."""
    moved = cv2.perspectiveTransform(points.reshape(1, -1, 2), homography)
    return np.asarray(moved, dtype=float).reshape(points.shape)


def _worth(seen: MarksSeen) -> tuple[int, int, bool, int]:
    return max((len(card.marks) for card in seen.cards), default=0), len(seen.cards), seen.bent, seen.numbers


def _marks(rgb: ByteArray, side: int, mirrored: bool) -> Mapping[int, Sequence[FloatArray]]:
    """Return the corners (4, 2) in the picture of the marks of each number, the largest first, in the mark's order."""
    scale = min(3.0, side / max(rgb.shape[:2]))
    interpolation = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    grey = cv2.resize(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), None, fx=scale, fy=scale, interpolation=interpolation)
    corners, numbers, _ = _detector().detectMarkers(np.ascontiguousarray(grey[:, ::-1]) if mirrored else grey)
    found: dict[int, list[FloatArray]] = {number: [] for number in layout.CARD_MARKERS_MM}
    for number, quad in zip([] if numbers is None else numbers.ravel(), corners, strict=True):
        place = np.asarray(quad, dtype=float).reshape(4, 2)
        if mirrored:
            place[:, 0] = grey.shape[1] - 1 - place[:, 0]
        found[int(number)].append((place + 0.5) / scale - 0.5)
    return {number: sorted(quads, key=_area, reverse=True)[:_MOST_ALIKE] for number, quads in found.items()}


def _area(quad: FloatArray) -> float:
    return float(cv2.contourArea(quad.astype(np.float32)))


def _detector() -> cv2.aruco.ArucoDetector:
    """Return a detector of the four corner marks alone, which may have two squares misread and still differ."""
    known = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    ours = cv2.aruco.Dictionary(
        known.bytesList[: len(layout.CARD_MARKERS_MM)].copy(), known.markerSize, _MISREAD_SQUARES
    )
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    # The middle of each square alone is read: with the border, blurred marks of 30 pixels are missed by the half.
    settings.perspectiveRemovePixelPerCell, settings.perspectiveRemoveIgnoredMarginPerCell = 8, 0.3
    return cv2.aruco.ArucoDetector(ours, settings)


def _sorted_out(seen: Mapping[int, Sequence[FloatArray]]) -> MarksSeen:
    """Return which marks stand on one card, and on which. Four that agree come before three."""
    numbers = sum(bool(quads) for quads in seen.values())
    cards: list[PlacedCard] = []
    bent = False
    for marks in sorted(_choices(seen), key=len, reverse=True):
        card, stray = _placed(marks)
        if card is None or any(_same_place(card, other) for other in cards):
            continue
        if stray > _STRAY_MM:
            bent |= len(marks) == len(layout.CARD_MARKERS_MM) and stray <= _BENT_MM
        elif len(marks) == len(layout.CARD_MARKERS_MM) or not _fourth_is_near(card, seen):
            cards.append(card)
    return MarksSeen(tuple(cards), numbers, bent)


def _choices(seen: Mapping[int, Sequence[FloatArray]]) -> Iterator[Marks]:
    """Return every way to take at most one mark of each number, and three at least."""
    for choice in product(*([None, *quads] for quads in seen.values())):
        marks = {number: quad for number, quad in zip(seen, choice, strict=True) if quad is not None}
        if len(marks) >= MIN_MARKERS:
            yield marks


def _placed(marks: Marks) -> tuple[PlacedCard | None, float]:
    """Return the card that marks would stand on, and by how many millimetres the worst corner misses its place."""
    on_card = np.concatenate([layout.CARD_MARKERS_MM[number] for number in marks])
    in_picture = np.concatenate(list(marks.values()))
    from_card, _ = cv2.findHomography(on_card, in_picture)
    if from_card is None or abs(np.linalg.det(from_card)) < 1e-12:
        return None, np.inf
    back = carried(in_picture, np.asarray(np.linalg.inv(from_card), dtype=float))
    return PlacedCard(marks, np.asarray(from_card, dtype=float)), float(np.linalg.norm(back - on_card, axis=1).max())


def _same_place(card: PlacedCard, other: PlacedCard) -> bool:
    """Return whether two cards share a mark, or the middle of the one lies on the other."""
    if any(card.marks.get(number) is quad for number, quad in other.marks.items()):
        return True
    middle = np.asarray(card.corners_px.mean(axis=0), dtype=float)
    outline = other.corners_px.astype(np.float32)
    return bool(np.isfinite(outline).all() and cv2.pointPolygonTest(outline, tuple(middle), measureDist=False) >= 0)


def _fourth_is_near(card: PlacedCard, seen: Mapping[int, Sequence[FloatArray]]) -> bool:
    """Return whether the mark that a card of three lacks was seen beside its place: then the card is bent."""
    [number] = set(layout.CARD_MARKERS_MM) - set(card.marks)
    to_card = np.asarray(np.linalg.inv(card.from_card), dtype=float)
    place = layout.CARD_MARKERS_MM[number].mean(axis=0)
    return any(np.linalg.norm(carried(quad, to_card).mean(axis=0) - place) < _BENT_MM for quad in seen[number])
