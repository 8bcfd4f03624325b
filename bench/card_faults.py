"""How often a shaded, covered or cut classic card is found out: python bench/card_faults.py [--count 30] [--seed 31].

Each fault is put into the same rendered photographs. A photograph counts as found out when it is refused. Beside it
stands what those not found out cost: ΔE00 of the face between the calibration with the fault and the one without.
"""

import argparse
import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import cv2
import numpy as np
from PIL import Image

from exposure import SKINS, Exposure, every_skin_in_every_light
from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.photo.card import CardSearch, ChartKind, look_for_card
from tenter.photo.correction import Correction
from tenter.photo.loading import Photo, photo_from_bytes

Fault = Callable[[ByteArray, FloatArray], ByteArray]
_FINGER = np.array([0.42, 0.26, 0.19])  # linear sRGB of a finger as light as the white patch allows


def shaded(picture: ByteArray, corners: FloatArray, box: tuple[float, float, float, float], part: float) -> ByteArray:
    """Return a picture with a shadow that lets a part of the light through, over a box (0 to 1) of the card.

    A box that reaches beyond 0 or 1 shades what lies beside the card too. Its edge is soft over a few pixels.
    """
    mask = _mask(picture.shape, corners, box)
    soft = cv2.GaussianBlur(mask, (0, 0), 3)[..., None]
    return _coded(decode_srgb(picture / 255) * (1 - soft * (1 - part)))


def smoothly_shaded(picture: ByteArray, corners: FloatArray, part: float) -> ByteArray:
    """Return a picture with a shadow that comes on gradually from the card's middle to the end of its longer side."""
    height, width = picture.shape[:2]
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    to_card = cv2.getPerspectiveTransform(corners.astype(np.float32), unit)
    places = np.indices((height, width))[::-1].reshape(2, 1, -1).transpose(1, 2, 0).astype(float)
    along = cv2.perspectiveTransform(places, to_card)[0].reshape(height, width, 2)[..., 1]
    depth = np.clip((along - 0.5) / 0.5, 0, 1)[..., None] * (along[..., None] < 1.2)
    return _coded(decode_srgb(picture / 255) * (1 - depth * (1 - part)))


def fingered(picture: ByteArray, corners: FloatArray, box: tuple[float, float, float, float]) -> ByteArray:
    """Return a picture with a finger, lit as the card is, over a box (0 to 1) of the card."""
    mask = cv2.GaussianBlur(_mask(picture.shape, corners, box), (0, 0), 1.5)[..., None]
    light = np.percentile(decode_srgb(picture / 255)[_mask(picture.shape, corners, (0, 0, 1, 1)) > 0], 98, axis=0)
    return _coded(decode_srgb(picture / 255) * (1 - mask) + mask * _FINGER * light)


def cut(picture: ByteArray, corners: FloatArray, part: float) -> ByteArray:
    """Return a picture cropped at the side of the card so that a part of it is lost."""
    left, right = corners[:, 0].min(), corners[:, 0].max()
    if left + right > picture.shape[1]:
        return np.ascontiguousarray(picture[:, : int(right - part * (right - left))])
    return np.ascontiguousarray(picture[:, int(left + part * (right - left)) :])


def _mask(shape: tuple[int, ...], corners: FloatArray, box: tuple[float, float, float, float]) -> FloatArray:
    left, top, right, bottom = box
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    to_picture = cv2.getPerspectiveTransform(unit, corners.astype(np.float32))
    places = np.array([[[left, top], [right, top], [right, bottom], [left, bottom]]], dtype=float)
    mask = np.zeros(shape[:2])
    cv2.fillConvexPoly(mask, np.round(cv2.perspectiveTransform(places, to_picture)[0]).astype(np.int32), 1.0)
    return mask


def _coded(linear: FloatArray) -> ByteArray:
    return (np.clip(encode_srgb(np.clip(linear, 0, 1)), 0, 1) * 255 + 0.5).astype(np.uint8)


def _patch_box(columns: int, rows: int, at: tuple[int, int] = (0, 0)) -> tuple[float, float, float, float]:
    """Return the box of so many patches of a card that stands upright: four across, six down."""
    return at[0] / 4, at[1] / 6, (at[0] + columns) / 4, (at[1] + rows) / 6


def faults() -> dict[str, Fault]:
    """Return what is done to a picture, whose classic card has four corners in pixels, by name."""
    found: dict[str, Fault] = {"none": lambda picture, _: picture}
    boxes = {
        "1 patch": _patch_box(1, 1, (1, 2)),
        "2 patches": _patch_box(2, 1, (1, 2)),
        "6 patches": (-0.1, 3.5 / 6, 0.75, 5.5 / 6),
        "12 patches": (-0.1, 0.5, 1.1, 1.2),
        "12 lengthwise": (-0.1, -0.1, 0.5, 1.2),
    }
    for part in (0.8, 0.6, 0.4):
        for name, box in boxes.items():
            found[f"shadow ×{part}, {name}"] = partial(shaded, box=box, part=part)
        found[f"gradual to ×{part}"] = partial(smoothly_shaded, part=part)
    found["finger, 2 patches"] = partial(fingered, box=_patch_box(1, 2, (0, 3)))
    for part in (0.05, 0.1, 0.2, 0.4):
        found[f"cut by {part:.0%}"] = partial(cut, part=part)
    return found


@dataclass
class _Tally:
    refused: int = 0
    codes: str = ""
    cost: tuple[float, ...] = ()


def _photo(picture: ByteArray) -> Photo:
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=92, subsampling=0)
    return photo_from_bytes(out.getvalue(), "x.jpg")


def _cost(one: Correction, other: Correction, codes: FloatArray) -> float:
    """Return the median ΔE00 between two corrections of code values (n, 3), as skin."""
    labs = [np.array([c.lab(code[None], skin=True) for code in codes]) for c in (one, other)]
    return float(np.median(delta_e_2000(*labs)))


def _some_skin(exposure: Exposure) -> FloatArray:
    inside = np.isin(exposure.scene.label, [1, 2, 3])
    return np.asarray(exposure.picture[inside][:: max(1, int(inside.sum()) // 40)] / 255)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=30)
    parser.add_argument("--seed", type=int, default=31)
    given = parser.parse_args()
    tallies: dict[str, _Tally] = {}
    taken = 0
    for plan in every_skin_in_every_light(SKINS, given.count, given.seed):
        exposure = plan.take()
        if plan.shot.rotate:
            continue
        clear = look_for_card(_photo(exposure.picture), ChartKind.CLASSIC24)
        if clear.correction is None or any(reason.refuses for reason in clear.reasons):
            continue
        taken += 1
        corners = np.asarray(exposure.scene.card_corners_px, dtype=float)
        for name, fault in faults().items():
            _count(tallies.setdefault(name, _Tally()), fault(exposure.picture, corners), clear, _some_skin(exposure))
    print(f"{taken} photographs with a clear card; refused, and ΔE00 on skin (median, most) where it is not")
    for name, tally in tallies.items():
        cost = f"{np.median(tally.cost):.2f} {max(tally.cost):.2f}" if tally.cost else ""
        print(f"{name:28s} {tally.refused / taken:4.0%}   {cost:12s} {tally.codes}")


def _count(tally: _Tally, picture: ByteArray, clear: CardSearch, skin: FloatArray) -> None:
    found = look_for_card(_photo(picture), ChartKind.CLASSIC24)
    refusing = [str(reason.code) for reason in found.reasons if reason.refuses]
    if refusing or found.correction is None or clear.correction is None:
        tally.refused += 1
        tally.codes = ", ".join(sorted({*filter(None, tally.codes.split(", ")), *refusing}))
    else:
        tally.cost = (*tally.cost, _cost(found.correction, clear.correction, skin))


if __name__ == "__main__":
    main()
