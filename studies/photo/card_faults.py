"""How often a shaded, covered or cut classic card is found out.

Run it by `python -m studies.photo.card_faults [--count 30] [--seed 31]`.

--world real puts the faults into photographs whose card, lens and phone have the ways of real ones.

Each fault is put into the same rendered photographs. A photograph counts as found out when it is refused. Beside it
stands what those not found out cost: ΔE00 of the skin against the scene under D65, and how often L*, a*, b* lie within
their 90 % intervals all the same.
"""

import argparse
import io
import logging
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import cv2
import numpy as np
from PIL import Image

from studies.photo.photo_runs import PROCESSES, truth_of
from studies.scenes.exposure import SKINS, Plan, every_skin_in_every_light
from studies.scenes.photo_truth import Row, Truth
from studies.scenes.real_world import WORLDS, in_world
from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.photo.cards import ChartKind, look_for_card
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.patches.correction import Correction
from tenter.photo.regions.landmarks import find_face
from tenter.photo.regions.reading import read_colour
from tenter.photo.regions.regions import SKIN, RegionPixels, read_region

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


def shaded_beyond(
    picture: ByteArray, corners: FloatArray, degrees: float, place: float, soft: float, part: float
) -> ByteArray:
    """Return a picture with a shadow beyond a line across the card, wherever the line and whatever its angle.

    place: of the line, -0.5 to 0.5 of the card's longer side from its middle. soft: width of its edge, in patches.
    """
    height, width = picture.shape[:2]
    unit = np.array([[0, 0], [4, 0], [4, 6], [0, 6]], dtype=np.float32)
    to_card = cv2.getPerspectiveTransform(corners.astype(np.float32), unit)
    places = np.indices((height, width))[::-1].reshape(2, 1, -1).transpose(1, 2, 0).astype(float)
    on_card = cv2.perspectiveTransform(places, to_card)[0].reshape(height, width, 2)
    along = (on_card - (2, 3)) @ np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))]) - 6 * place
    beside = (np.abs(on_card[..., 0] - 2) < 2.6) & (np.abs(on_card[..., 1] - 3) < 3.6)
    depth = np.clip(0.5 + along / soft, 0, 1) * beside
    return _coded(decode_srgb(picture / 255) * (1 - depth[..., None] * (1 - part)))


def glared(picture: ByteArray, corners: FloatArray, box: tuple[float, float, float, float], light: float) -> ByteArray:
    """Return a picture with a veil of light, a part of the white patch's, over a box (0 to 1) of the card."""
    mask = cv2.GaussianBlur(_mask(picture.shape, corners, box), (0, 0), 6)[..., None]
    white = np.percentile(decode_srgb(picture / 255)[_mask(picture.shape, corners, (0, 0, 1, 1)) > 0], 98, axis=0)
    return _coded(decode_srgb(picture / 255) + mask * light * white)


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
        for degrees, place, soft in ((20, 0.1, 0.1), (110, 0.15, 0.5), (245, 0.05, 1.0)):
            name = f"shadow ×{part}, edge at {degrees}°, {soft} patches soft"
            found[name] = partial(shaded_beyond, degrees=degrees, place=place, soft=soft, part=part)
    for light in (0.05, 0.15):
        found[f"glare of {light:.0%} on 6 patches"] = partial(glared, box=boxes["6 patches"], light=light)
    found["finger, 2 patches"] = partial(fingered, box=_patch_box(1, 2, (0, 3)))
    for part in (0.05, 0.1, 0.2, 0.4):
        found[f"cut by {part:.0%}"] = partial(cut, part=part)
    return found


@dataclass(frozen=True)
class Outcome:
    """What became of one photograph with one fault: why it was refused, or else its skin."""

    fault: str
    refused_for: tuple[str, ...]
    rows: tuple[Row, ...]


def outcomes(plan: Plan, named: Sequence[str]) -> list[Outcome]:
    """Return what becomes of a photograph with each fault; nothing where its card is refused without one."""
    logging.disable(logging.CRITICAL)
    exposure = plan.take()
    truth, corners = truth_of(exposure), np.asarray(exposure.scene.card_corners_px, dtype=float)
    clear = photo_from_bytes(as_jpeg(exposure.picture), "x.jpg")
    mesh = find_face(clear.rgb).mesh_px
    if mesh is None:
        return []
    pixels = [read for read in (read_region(clear, mesh, region) for region in SKIN) if not read.reason]
    found: list[Outcome] = []
    for name in dict.fromkeys(("none", *named)):
        fault = faults()[name]
        card = look_for_card(photo_from_bytes(as_jpeg(fault(exposure.picture, corners)), "x.jpg"), ChartKind.CLASSIC24)
        refusing = tuple(str(reason.code) for reason in card.reasons if reason.refuses)
        if refusing and not found:
            return []
        rows = [_row(truth, read, card.correction) for read in pixels if card.correction and not refusing]
        found.append(Outcome(name, refusing, tuple(rows)))
    return found


def _row(truth: Truth, pixels: RegionPixels, correction: Correction) -> Row:
    """Return a region by the correction of a card, whatever else the picture would say of the light."""
    read = read_colour(pixels, correction)
    return Row(truth, pixels.region, read.lab, read.half_width_90)


def as_jpeg(picture: ByteArray) -> bytes:
    """Return a picture as a JPEG file of quality 92, chroma whole."""
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=92, subsampling=0)
    return out.getvalue()


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--count", type=int, default=30)
    parser.add_argument("--seed", type=int, default=31)
    parser.add_argument("--only", nargs="+", default=[""], help="faults whose name holds one of these")
    parser.add_argument("--world", choices=WORLDS, default=WORLDS[0])
    given = parser.parse_args()
    named = [name for name in faults() if any(part in name for part in given.only)]
    plans = [plan for plan in every_skin_in_every_light(SKINS, given.count, given.seed) if not plan.shot.rotate]
    plans = in_world(plans, given.world, given.seed)
    with ProcessPoolExecutor(PROCESSES) as pool:
        taken = [found for found in pool.map(partial(outcomes, named=named), plans) if found]
    print(f"{len(taken)} photographs with a clear card; refused; the rest: ΔE00 of the skin (median, most), cover")
    for name in dict.fromkeys(("none", *named)):
        print(_line(name, [outcome for found in taken for outcome in found if outcome.fault == name]))


def _line(name: str, some: list[Outcome]) -> str:
    if not some:
        return f"{name:42s} no photograph"
    refused = [outcome for outcome in some if outcome.refused_for]
    rows = [row for outcome in some for row in outcome.rows if not outcome.refused_for]
    cost = " " * 30
    if rows:
        error, cover = [row.error for row in rows], np.mean([row.covered for row in rows], axis=0)
        cost = f"{np.median(error):5.2f} {max(error):5.2f}   {cover[0]:.2f} {cover[1]:.2f} {cover[2]:.2f}"
    codes = Counter(code for outcome in refused for code in outcome.refused_for)
    told = ", ".join(code for code, _ in codes.most_common())
    return f"{name:42s} {len(refused) / len(some):4.0%}  {cost:32s} {told}".rstrip()


if __name__ == "__main__":
    main()
