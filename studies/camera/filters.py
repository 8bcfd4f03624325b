"""What camera apps do to a picture of a face, each at three strengths, and plain exposures of any size to do it to.

Invented, after what such filters are known to do; no app's own. Filters of the face fade out at its outline.
"""

from collections.abc import Callable
from dataclasses import replace

import cv2
import numpy as np

from studies.scenes.cameras import light_power, sensitivities
from studies.scenes.exposure import Exposure, Plan, develop, load_scene
from tenter.arrays import ByteArray, FloatArray

STRENGTHS = ("weak", "middle", "strong")
Filter = Callable[[ByteArray, FloatArray, int], ByteArray]


def taken_large(plan: Plan, factor: float) -> tuple[Exposure, ByteArray]:
    """Return an exposure with its truth, and its picture with `factor` times the pixels a side, noise in each pixel."""
    plan = replace(plan, shot=replace(plan.shot, rotate=0.0))
    taken = plan.take()
    scene, shot = load_scene(plan.scene), plan.shot
    curves = sensitivities(plan.camera)
    signal = scene.integrate([curves * light_power(lamp)[:, None] for lamp in taken.lights])
    height, width = scene.label.shape
    size = (round(width * factor), round(height * factor))
    raw = np.maximum(cv2.resize(signal, size, interpolation=cv2.INTER_CUBIC), 0)
    large = replace(scene, label=cv2.resize(scene.label, size, interpolation=cv2.INTER_NEAREST))
    return taken, develop(raw, large, plan.camera, replace(shot, blur=shot.blur * factor))


def _face(rgb: ByteArray, mesh: FloatArray) -> FloatArray:
    inside = np.zeros(rgb.shape[:2], np.uint8)
    cv2.fillPoly(inside, [cv2.convexHull(mesh.astype(np.float32)).astype(np.int32)], 255)
    return cv2.GaussianBlur(inside, (0, 0), 0.03 * _width(mesh))[..., None] / 255.0


def _width(mesh: FloatArray) -> float:
    return float(np.linalg.norm(mesh[234] - mesh[454]))


def _coded(values: FloatArray) -> ByteArray:
    return np.clip(values + 0.5, 0, 255).astype(np.uint8)


def _in_lab(rgb: ByteArray, change: Callable[[FloatArray], FloatArray]) -> FloatArray:
    lab = change(cv2.cvtColor((rgb / 255.0).astype(np.float32), cv2.COLOR_RGB2LAB))
    return cv2.cvtColor(lab.astype(np.float32), cv2.COLOR_LAB2RGB) * 255.0


def _of_face(change: Callable[[FloatArray, int], FloatArray]) -> Filter:
    def filtered(rgb: ByteArray, mesh: FloatArray, strength: int) -> ByteArray:
        share = _face(rgb, mesh)
        return _coded(rgb * (1 - share) + _in_lab(rgb, lambda lab: change(lab, strength)) * share)

    return filtered


def _of_all(change: Callable[[FloatArray, int], FloatArray]) -> Filter:
    return lambda rgb, _, strength: _coded(_in_lab(rgb, lambda lab: change(lab, strength)))


def smoothed(rgb: ByteArray, mesh: FloatArray, strength: int) -> ByteArray:
    """Return the face through a bilateral filter."""
    reach, code, spread = ((0.012, 12, 0.008), (0.018, 25, 0.014), (0.03, 60, 0.025))[strength]
    width = _width(mesh)
    smooth = cv2.bilateralFilter(rgb, min(25, max(3, int(reach * width) | 1)), code, spread * width)
    share = _face(rgb, mesh)
    return _coded(rgb * (1 - share) + smooth * share)


def background_blurred(rgb: ByteArray, mesh: FloatArray, strength: int) -> ByteArray:
    """Return the picture with what is beside and above the head blurred, the lower part and the card kept sharp."""
    low, high = mesh.min(axis=0), mesh.max(axis=0)
    width = _width(mesh)
    wall = np.zeros(rgb.shape[:2], np.float32)
    wall[: int(low[1] + 0.6 * (high[1] - low[1]))] = 1
    head = ((low + high) / 2).astype(int)
    cv2.ellipse(wall, (int(head[0]), int(head[1])), (int(0.85 * width), int(1.2 * width)), 0, 0, 360, 0, -1)
    wall[:, : int(low[0] - 0.35 * width)][int(low[1] + 0.1 * width) :] = 0  # a card may stand on either side
    wall[:, int(high[0] + 0.35 * width) :][int(low[1] + 0.1 * width) :] = 0
    share = cv2.GaussianBlur(wall, (0, 0), 3)[..., None]
    blurred = cv2.GaussianBlur(rgb, (0, 0), (0.01, 0.02, 0.05)[strength] * width)
    return _coded(rgb * (1 - share) + blurred * share)


def lightened(lab: FloatArray, strength: int) -> FloatArray:
    more = (3, 6, 10)[strength] * np.clip((100 - lab[..., :1]) / 40, 0, 1)
    return np.concatenate([lab[..., :1] + more, lab[..., 1:]], axis=-1)


def face_saturated(lab: FloatArray, strength: int) -> FloatArray:
    return lab * np.array([1, *[(1.12, 1.25, 1.5)[strength]] * 2])


def rosy(lab: FloatArray, strength: int) -> FloatArray:
    return lab + np.array([0, 1, -0.5]) * (2, 4, 8)[strength]


def saturated(lab: FloatArray, strength: int) -> FloatArray:
    return lab * np.array([1, *[(1.15, 1.35, 1.7)[strength]] * 2])


def beautified(rgb: ByteArray, mesh: FloatArray, strength: int) -> ByteArray:
    """Return the face smoothed and lightened."""
    return _of_face(lightened)(smoothed(rgb, mesh, strength), mesh, strength)


def warmed(rgb: ByteArray, _: FloatArray, strength: int) -> ByteArray:
    """Return the whole picture with more red and less blue."""
    return _coded(rgb * (1 + np.array([1, 0, -1]) * (0.04, 0.1, 0.2)[strength]))


def contrasted(rgb: ByteArray, _: FloatArray, strength: int) -> ByteArray:
    """Return the whole picture along an S-curve."""
    x = rgb / 255.0
    return _coded(255 * (x + (0.3, 0.6, 1.0)[strength] * (x * x * (3 - 2 * x) - x)))


def high_dynamic(rgb: ByteArray, _: FloatArray, strength: int) -> ByteArray:
    """Return the whole picture with its contrast evened out from place to place."""
    lab = cv2.cvtColor(rgb, cv2.COLOR_RGB2LAB)
    lab[..., 0] = cv2.createCLAHE((1.5, 2.5, 4.0)[strength], (4, 4)).apply(lab[..., 0])
    return cv2.cvtColor(lab, cv2.COLOR_LAB2RGB)


def sharpened(rgb: ByteArray, mesh: FloatArray, strength: int) -> ByteArray:
    """Return the whole picture with halos along its edges."""
    blurred = cv2.GaussianBlur(rgb, (0, 0), 0.006 * _width(mesh)).astype(float)
    return _coded(rgb + (0.5, 1.0, 2.0)[strength] * (rgb - blurred))


def cornered(rgb: ByteArray, _: FloatArray, strength: int) -> ByteArray:
    """Return the whole picture darkened towards its corners."""
    height, width = rgb.shape[:2]
    y, x = np.mgrid[:height, :width]
    apart = ((x - width / 2) ** 2 + (y - height / 2) ** 2) / (width**2 / 4 + height**2 / 4)
    return _coded(rgb * (1 - (0.15, 0.3, 0.5)[strength] * apart)[..., None])


OF_THE_FACE: dict[str, Filter] = {
    "face smoothed": smoothed,
    "smoothed, lightened": beautified,
    "face lightened": _of_face(lightened),
    "face saturated": _of_face(face_saturated),
    "face rosy": _of_face(rosy),
}
OF_THE_PICTURE: dict[str, Filter] = {
    "background blurred": background_blurred,
    "all saturated": _of_all(saturated),
    "all warmer": warmed,
    "all contrasted": contrasted,
    "high dynamic range": high_dynamic,
    "sharpened": sharpened,
    "corners darkened": cornered,
}
