"""How often a filter over a face is suspected, and a plain photograph wrongly: `./run bench filter`.

Exposures of every skin under every light, a bilateral filter of three strengths over the face only, JPEG again.
"""

import argparse
from collections import Counter
from dataclasses import replace

import cv2
import numpy as np

from exposure import SKINS, every_skin_in_every_light
from tenter.arrays import ByteArray, FloatArray
from tenter.photo.chart import find_chart
from tenter.photo.landmarks import find_face
from tenter.photo.loading import photo_from_bytes
from tenter.photo.smoothing import grain, suspicion

STRENGTHS = {"none": None, "weak": (5, 12, 3), "middle": (7, 25, 5), "strong": (11, 60, 9)}  # bilateral: d, code, px


def filtered(rgb: ByteArray, mesh: FloatArray, strength: tuple[int, int, int] | None) -> ByteArray:
    """Return the picture with its face smoothed, fading out at the face's rim."""
    if strength is None:
        return rgb
    inside = np.zeros(rgb.shape[:2], np.uint8)
    cv2.fillPoly(inside, [cv2.convexHull(mesh.astype(np.float32)).astype(np.int32)], 255)
    share = cv2.GaussianBlur(inside, (0, 0), 4)[..., None] / 255.0
    smooth = cv2.bilateralFilter(rgb, *strength)
    return (rgb * (1 - share) + smooth * share + 0.5).astype(np.uint8)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--photographs", type=int, default=60)
    parser.add_argument("--seed", type=int, default=9)
    given = parser.parse_args()
    rng = np.random.default_rng(given.seed)
    suspected: Counter[str] = Counter()
    judged: Counter[str] = Counter()
    shares: dict[str, list[float]] = {name: [] for name in STRENGTHS}
    for plan in every_skin_in_every_light(SKINS, given.photographs, given.seed):
        noisy = replace(plan.shot, noise=float(rng.uniform(0.1, 0.6)), jpeg=int(rng.integers(86, 97)))
        picture = replace(plan, shot=noisy).take().picture
        mesh = find_face(picture).mesh_px
        for name, strength in STRENGTHS.items():
            if mesh is None:
                break
            code = filtered(picture, mesh, strength)[..., ::-1]
            content = cv2.imencode(".jpg", code, [cv2.IMWRITE_JPEG_QUALITY, noisy.jpeg])[1].tobytes()
            photo = photo_from_bytes(content, "exposure.jpg")
            card = find_chart(photo)
            if card is None:
                break
            found = grain(photo, mesh, card.corners_px)
            if found.skin is not None:
                judged[name] += 1
                shares[name].append(found.skin)
            suspected[name] += suspicion(found) is not None
    print(f"{given.photographs} photographs; grain of the skin over the card's at the same brightness")
    for name, values in shares.items():
        spread = "" if not values else f"{min(values):.2f} to {max(values):.2f}, median {np.median(values):.2f}"
        print(f"  filter {name:7s} grain known in {judged[name]:3d}, suspected in {suspected[name]:3d}   {spread}")


if __name__ == "__main__":
    main()
