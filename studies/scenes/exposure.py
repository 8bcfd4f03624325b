"""Photograph a rendered scene under any light with any camera, and know what is truly in it.

A scene of studies/scenes/rendered holds, for every pixel, the light that reaches the lens when every lamp emits the
same power at all wavelengths (see the README there). The lamp's spectrum and the camera come in here.
"""

import io
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from scipy.ndimage import binary_erosion, gaussian_filter

from studies.scenes.cameras import CAMERAS, CMFS, LIGHTS, camera_to_srgb, light_power, sensitivities
from tenter.arrays import AnyArray, BoolArray, ByteArray, FloatArray
from tenter.colorimetry.spaces import SRGB_TO_XYZ, encode_srgb
from tenter.photo.patches.reference import WHITE_PATCH

SCENES = Path(__file__).parent / "rendered"
SKINS = tuple(f"p{n}" for n in range(1, 11))  # with a card; p12 to p17 are one person under cloths, p11 has no card
FIRST_PATCH = 20  # label of the first patch
_WHITE_LEVEL = 0.72  # raw level of the card's white patch at exposure 1
_CROSS = np.array([[0, 1, 0], [1, 1, 1], [0, 1, 0]], dtype=bool)
_FACE = ("forehead", "cheek_l", "cheek_r", "nose", "chin", "jaw_l", "jaw_r", "other_skin")


@dataclass(frozen=True)
class Scene:
    """A rendered scene: the radiance of pixel (y, x) is `coef[lamp, :, y, x] @ basis[material[y, x]]`, summed."""

    name: str
    coef: AnyArray  # (lamps, components, height, width)
    basis: AnyArray  # (materials, components, 81)
    material: AnyArray  # (height, width)
    label: AnyArray  # (height, width)
    region_reflectance: AnyArray  # (regions, 81)
    patch_reflectance: FloatArray  # (24, 81)
    card_corners_px: AnyArray
    card_patches_px: AnyArray
    meta: dict[str, Any]
    white: int = WHITE_PATCH  # the patch by which the picture is exposed and the truth scaled
    white_level: float = _WHITE_LEVEL  # raw level of that patch at exposure 1

    @property
    def regions(self) -> dict[str, list[int]]:
        """The labels that make up each region; all_skin is the face without lips, brows and lashes."""
        number = {name: int(k) for k, name in self.meta["labels"].items()}
        return {n: [number[m] for m in (_FACE if n == "all_skin" else (n,))] for n in self.meta["regions"]}

    @property
    def has_card(self) -> bool:
        return bool(self.meta["card"])

    def patch(self, k: int) -> BoolArray:
        """Return the pixels of patch k without its outermost three, whose colour is mixed with the neighbour's."""
        inner: BoolArray = binary_erosion(self.label == FIRST_PATCH + k, _CROSS, iterations=3)
        return inner

    def integrate(self, weights: Sequence[FloatArray]) -> FloatArray:
        """Sum the radiance of each lamp over wavelength with that lamp's weights (81, n): (height, width, n)."""
        out = np.zeros((*self.label.shape, weights[0].shape[1]))
        for m in np.unique(self.material):
            where = self.material == m
            out[where] = sum(
                c[:, where].T.astype(float) @ (self.basis[m] @ w) for c, w in zip(self.coef, weights, strict=True)
            )
        return out


@lru_cache(maxsize=12)
def load_scene(name: str) -> Scene:
    """Return a scene of studies/scenes/rendered by its name, as in "p6"."""
    with np.load(SCENES / f"{name}.npz") as file:
        fields = {field: file[field] for field in Scene.__dataclass_fields__ if field in file and field != "meta"}
        return Scene(name=name, **fields, meta=json.loads(str(file["meta"])))


@dataclass(frozen=True)
class Shot:
    """How a photograph is taken. All but the light, which is named apart.

    exposure: 1 puts the card's white at 0.72 of the sensor's range; clip_stops overexposes on top of it.
    white_balance: "auto" (the mean of the brighter surfaces is grey), "off" (5500 K), "as-shot" (half-way).
    tone: "linear" or "s-curve". noise: 0 to 1, 0.25 is ordinary. vignette: the loss in the corners.
    blur: Gaussian, in pixels. rotate: degrees anticlockwise.
    """

    exposure: float = 1.0
    white_balance: str = "as-shot"
    tone: str = "linear"
    noise: float = 0.25
    vignette: float = 0.0
    blur: float = 0.0
    clip_stops: float = 0.0
    rotate: float = 0.0
    jpeg: int = 92
    seed: int = 0


@dataclass(frozen=True)
class Exposure:
    """A photograph, and what a perfect colorimeter would read in it.

    xyz_d65: XYZ of each region were the scene lit by D65, with Y = 1 for a perfect white at the card; empty without a
    card. reflectance: the skin's own, without shading and gloss. pixels: of each region.
    """

    scene: Scene
    lights: tuple[str, ...]
    camera: str
    shot: Shot
    picture: ByteArray
    xyz_d65: dict[str, FloatArray]
    reflectance: dict[str, FloatArray]
    pixels: dict[str, int]

    def jpeg(self) -> bytes:
        """Return the picture as a JPEG file; below a quality of 90 chroma is subsampled, as cameras do."""
        out = io.BytesIO()
        quality = self.shot.jpeg
        Image.fromarray(self.picture).save(out, "JPEG", quality=quality, subsampling=0 if quality >= 90 else 2)
        return out.getvalue()


@dataclass(frozen=True)
class Sight:
    """What reaches a camera's sensor from a scene: raw (height, width, 3), before exposure and white balance."""

    scene: Scene
    lamps: tuple[str, ...]
    camera: str
    raw: FloatArray


def _as_it_is(sight: Sight) -> FloatArray:
    return sight.raw


def _untouched(linear: FloatArray, _: Scene) -> FloatArray:
    return linear


@dataclass(frozen=True)
class Fault:
    """What goes wrong in one photograph. The truth stays that of the scene without it, and so does the exposure.

    on_light: what reaches the sensor instead. in_phone: what the phone makes of its linear sRGB picture.
    """

    on_light: Callable[[Sight], FloatArray] = _as_it_is
    in_phone: Callable[[FloatArray, Scene], FloatArray] = _untouched


NO_FAULT = Fault()


def expose(
    scene: Scene,
    lights: str | tuple[str, ...],
    camera: str,
    shot: Shot = Shot(),
    fault: Fault = NO_FAULT,
    **options: Any,
) -> Exposure:
    """Take one photograph; two lights, (window, panel), need a scene with two lamps. Options replace fields of shot."""
    shot = replace(shot, **options)
    lamps = (lights,) * len(scene.coef) if isinstance(lights, str) else lights
    if len(lamps) != len(scene.coef):
        raise ValueError(f"{scene.name} has {len(scene.coef)} lamps; it cannot be lit by {lamps}")
    curves = sensitivities(camera)
    d65 = light_power("D65")[:, None] * CMFS
    signal = scene.integrate([np.column_stack([curves * light_power(lamp)[:, None], d65]) for lamp in lamps])
    sight = Sight(scene, lamps, camera, signal[..., :3])
    picture = _turned(develop(fault.on_light(sight), scene, camera, shot, sight.raw, fault), shot.rotate)
    masks = {name: np.isin(scene.label, labels) for name, labels in scene.regions.items()}
    return Exposure(
        scene,
        lamps,
        camera,
        shot,
        picture,
        _truth(scene, signal[..., 3:], masks),
        dict(zip(scene.regions, scene.region_reflectance, strict=True)),
        {name: int(mask.sum()) for name, mask in masks.items()},
    )


def _truth(scene: Scene, xyz: FloatArray, masks: dict[str, BoolArray]) -> dict[str, FloatArray]:
    if not scene.has_card:
        return {}
    white = scene.patch(scene.white)
    weights = CMFS[:, 1] * light_power("D65") / scene.patch_reflectance[scene.white]
    coef = scene.coef[:, :, white].astype(float).mean(axis=2)
    at_white = sum(c @ scene.basis[scene.material[white][0]] @ weights for c in coef)
    return {name: xyz[mask].mean(axis=0) / at_white for name, mask in masks.items()}


def develop(
    raw: FloatArray, scene: Scene, camera: str, shot: Shot, metered: FloatArray | None = None, fault: Fault = NO_FAULT
) -> ByteArray:
    """Return the 8-bit sRGB picture of a sensor's signal (height, width, 3).

    metered: the signal that exposure and white balance are set by, where it is another one.
    """
    rng = np.random.default_rng(shot.seed)
    metered = raw if metered is None else metered
    gains = _white_balance(metered, camera, shot.white_balance)
    raw = raw * (shot.exposure * 2.0**shot.clip_stops / _level(metered * gains, scene))
    if shot.blur:
        raw = gaussian_filter(raw, (shot.blur, shot.blur, 0), mode="nearest", truncate=3)
    raw = raw * (1 - shot.vignette * _corner_distance(raw.shape[:2]))[..., None]
    matrix = camera_to_srgb(camera)
    smoothing = min(1.0, 3 / float(np.linalg.norm(matrix)))  # a strong matrix multiplies noise; such cameras smooth it
    sd = 0.03 * shot.noise * smoothing
    raw = raw + rng.normal(size=raw.shape) * np.sqrt(np.maximum(raw, 0) * sd**2 + (0.2 * sd) ** 2)
    linear = np.minimum(np.minimum(raw, 1) * gains, 1) @ matrix.T
    return _coded(fault.in_phone(linear, scene), shot.tone)


def _white_balance(raw: FloatArray, camera: str, kind: str) -> FloatArray:
    day = light_power("DAY5500") @ sensitivities(camera)
    grey = (raw**6).mean(axis=(0, 1)) ** (1 / 6)  # "shades of grey": the brightest surfaces count most
    neutral = {"off": day, "auto": grey, "as-shot": np.sqrt(grey / grey[1] * day / day[1])}[kind]
    gains: FloatArray = neutral[1] / neutral
    return gains


def _level(balanced: FloatArray, scene: Scene) -> float:
    """Return what the sensor's range is set by: the card's white, or the brightest fiftieth without a card."""
    if scene.has_card:
        return float(balanced[scene.patch(scene.white)].mean(axis=0).max() / scene.white_level)
    return float(np.percentile(balanced, 98) / _WHITE_LEVEL)


def _corner_distance(shape: tuple[int, ...]) -> FloatArray:
    """Return the squared distance from the middle, 1 in the corners."""
    height, width = shape
    y, x = np.mgrid[:height, :width]
    squared: FloatArray = ((x - width / 2) ** 2 + (y - height / 2) ** 2) / (width**2 / 4 + height**2 / 4)
    return squared


def _coded(linear: FloatArray, tone: str) -> ByteArray:
    if tone == "s-curve":
        luminance = (linear @ SRGB_TO_XYZ[1])[..., None]
        linear = luminance + 1.08 * (linear - luminance)
    coded = encode_srgb(np.clip(linear, 0, 1))
    if tone == "s-curve":
        coded = coded + 0.35 * (coded**2 * (3 - 2 * coded) - coded)
    return (np.clip(coded, 0, 1) * 255 + 0.5).astype(np.uint8)


def _turned(picture: ByteArray, degrees: float) -> ByteArray:
    """Turn anticlockwise about the centre; quarter turns keep the whole picture, others keep its size."""
    if degrees % 90 == 0:
        return np.ascontiguousarray(np.rot90(picture, int(degrees // 90)))
    wall = tuple(int(v) for v in picture[:20].reshape(-1, 3).mean(axis=0))
    return np.asarray(Image.fromarray(picture).rotate(degrees, Image.Resampling.BICUBIC, fillcolor=wall))


@dataclass(frozen=True)
class Plan:
    """One photograph to be taken."""

    scene: str
    lights: str | tuple[str, str]
    camera: str
    shot: Shot

    def setting(self) -> Scene:
        """Return the scene that is photographed."""
        return load_scene(self.scene)

    def through(self, fault: Fault) -> Fault:
        """Return a fault with all else that lies between the scene and the file."""
        return fault

    def take(self, fault: Fault = NO_FAULT) -> Exposure:
        return expose(self.setting(), self.lights, self.camera, self.shot, self.through(fault))


def every_skin_in_every_light(scenes: Sequence[str], count: int, seed: int) -> list[Plan]:
    """Return photographs of the scenes in turn, each walking its own order of lights and cameras.

    After lights × cameras rounds every skin has met every light with every camera, but for the scenes with two lamps, a
    quarter of whose photographs get mixed light.
    """
    rng = np.random.default_rng(seed)
    orders = [(rng.permutation(LIGHTS), rng.permutation(CAMERAS)) for _ in scenes]
    plans = []
    for i in range(count):
        scene, (lights, cameras) = scenes[i % len(scenes)], orders[i % len(scenes)]
        turn, position = divmod(i // len(scenes), len(lights))
        chosen: str | tuple[str, str] = str(lights[position])
        if len(load_scene(scene).coef) == 2 and rng.random() < 0.25:
            chosen = (str(rng.choice(["D65", "D50"])), str(rng.choice(["A", "LED-B1", "LED-B3"])))
        plans.append(Plan(scene, chosen, str(cameras[(position + turn) % len(cameras)]), ordinary_shot(rng)))
    return plans


def ordinary_shot(rng: np.random.Generator) -> Shot:
    """Return an ordinary photograph; now and then a vignetted, soft, overexposed or tilted one."""

    def rarely(chance: float, low: float, high: float) -> float:
        return float(rng.uniform(low, high)) if rng.random() < chance else 0.0

    return Shot(
        exposure=round(float(2 ** rng.uniform(-0.5, 0.3)), 3),
        white_balance=str(rng.choice(["auto", "as-shot", "off"])),
        tone=str(rng.choice(["linear", "s-curve"])),
        noise=round(float(rng.uniform(0.05, 0.6)), 3),
        vignette=round(rarely(0.3, 0.03, 0.15), 3),
        blur=round(rarely(0.3, 0.4, 1.0), 2),
        clip_stops=round(rarely(0.07, 0.5, 1.0), 2),
        rotate=round(rarely(0.15, -4, 4), 1),
        jpeg=int(rng.integers(80, 97)),
        seed=int(rng.integers(2**31)),
    )
