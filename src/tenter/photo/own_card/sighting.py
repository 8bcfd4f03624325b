"""Find our own card in a photograph by its corner marks, and read its patches and its serial.

Any way up, at any tilt; a mirrored card is found as well. Three marks of four will do, if the fourth is hidden and not
cut off. Marks of other sheets do no harm (marks.py).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.spaces import decode_srgb
from tenter.photo.files.loading import Photo
from tenter.photo.own_card import layout
from tenter.photo.own_card.marks import PlacedCard, carried, find_marks
from tenter.photo.patches.chart import ChartReading, patch_pixels, read_patches

_UNSURE_CONTRAST = 0.25  # linear: of the strip's black against its white


@dataclass(frozen=True, slots=True)
class OwnCardSighting:
    """What there is of our own card in a picture.

    markers: corner marks seen, 0 to 4, on the card or on something else. reading: the patches in the order of
    `own_card_layout.CARD_PATCHES`; none where no three marks lie as on a flat card, or where several cards were seen.
    serial: none where the strip cannot be read. flat: false where marks lie nearly as on the card. cut: whether a mark
    that is not seen would lie outside the picture. serials: of several cards, those that can be read.
    """

    markers: int
    reading: ChartReading | None
    serial: int | None
    flat: bool = True
    cut: bool = False
    several: int = 0
    serials: tuple[int, ...] = ()


def find_own_card(photo: Photo, serial: int | None = None) -> OwnCardSighting:
    """Return what there is of our own card in a picture; of several cards, the one with the named serial."""
    seen = find_marks(photo.rgb)
    if not seen.cards:
        return OwnCardSighting(seen.numbers, None, None, flat=not seen.bent)
    serials = [_serial(photo, card.from_card) for card in seen.cards]
    if len(seen.cards) == 1:
        return _sighting(photo, seen.cards[0], serials[0])
    if serial is not None and serials.count(serial) == 1:
        return _sighting(photo, seen.cards[serials.index(serial)], serial)
    return OwnCardSighting(seen.numbers, None, None, several=len(seen.cards), serials=_known(serials))


def _known(serials: Sequence[int | None]) -> tuple[int, ...]:
    return tuple(sorted(serial for serial in serials if serial is not None))


def _sighting(photo: Photo, card: PlacedCard, serial: int | None) -> OwnCardSighting:
    quads = carried(np.stack([patch.quad_mm for patch in layout.CARD_PATCHES]), card.from_card)
    height, width = photo.rgb.shape[:2]
    marks = carried(np.stack(list(layout.CARD_MARKERS_MM.values())), card.from_card)
    cut = bool((marks < 0).any() or (marks > (width - 1, height - 1)).any())
    return OwnCardSighting(len(card.marks), read_patches(photo, card.corners_px, quads), serial, cut=cut)


def _serial(photo: Photo, from_card: FloatArray) -> int | None:
    levels = []
    for quad in carried(layout.strip_mm(), from_card):
        pixels = patch_pixels(photo, quad)
        if not len(pixels):
            return None
        levels.append(float(decode_srgb(pixels).mean()))
    dark, light = levels[:2]
    if dark > (1 - _UNSURE_CONTRAST) * light:
        return None
    return layout.serial_of(np.array(levels) < ((dark**0.5 + light**0.5) / 2) ** 2)
