"""Put another card into a rendered scene, in the place of the classic one and in its light.

The light on the classic card is read from its patches: the spectrum from the white one, and how each lamp falls off
across the card from all 24, as a parabola in the logarithm. Paint is matt: a card composed here does not shine.
"""

from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np

from studies.scenes.exposure import FIRST_PATCH, Scene
from tenter.arrays import AnyArray, BoolArray, FloatArray
from tenter.photo.patches.reference import WHITE_PATCH

_BOARD = 13  # label of a card's surface outside its patches
_MARGIN_PX = 2  # what the classic card's edge has mixed with the wall, on each side


def card_area(scene: Scene) -> FloatArray:
    """Return the corners (4, 2) in pixels that hide the whole classic card: top left first, then clockwise."""
    corners = np.asarray(scene.card_corners_px, dtype=float)
    outwards = np.sign(corners - corners.mean(axis=0))
    grown: FloatArray = corners + _MARGIN_PX * outwards
    return grown


def within(area: FloatArray, box: tuple[float, float, float, float]) -> FloatArray:
    """Return the corners (4, 2) of a box (left, top, right, bottom), each 0 to 1, of an area (4, 2) in pixels."""
    left, top, right, bottom = box
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32)
    to_area = cv2.getPerspectiveTransform(unit, area.astype(np.float32))
    corners = np.array([[[left, top], [right, top], [right, bottom], [left, bottom]]], dtype=np.float64)
    found: FloatArray = cv2.perspectiveTransform(corners, to_area)[0]
    return found


def with_card(
    scene: Scene, patches: Sequence[tuple[FloatArray, FloatArray]], board: FloatArray | None = None, white: int = 0
) -> Scene:
    """Return a scene with another card in the place of its classic one.

    Parameters
    ----------
    scene
        A scene with the classic card.
    patches
        Corners (4, 2) in pixels and reflectance (81,) of each patch; a later one covers an earlier one. Patch k gets
        the label FIRST_PATCH + k.
    board
        Reflectance (81,) of what is painted over the whole classic card first; without it the patches must cover it.
    white
        The patch by which the picture is exposed, so that a perfect white has the level it had beside the classic card,
        and by which the truth is scaled. It should be lighter than a twentieth, and a few pixels wide.
    """
    lamps, components = scene.coef.shape[:2]
    if lamps > components:
        raise ValueError(f"{scene.name} has more lamps than components")
    spectra, fields = _light(scene)
    surfaces = [reflectance for _, reflectance in patches]
    quads = [np.asarray(quad, dtype=float) for quad, _ in patches]
    labels = [FIRST_PATCH + k for k in range(len(patches))]
    if board is not None:
        surfaces, quads, labels = [board, *surfaces], [card_area(scene), *quads], [_BOARD, *labels]
    coef, material, label = scene.coef.copy(), scene.material.astype(np.int32), scene.label.copy()
    label[label >= FIRST_PATCH] = _BOARD
    basis = np.zeros((len(scene.basis) + len(surfaces), components, scene.basis.shape[2]))
    basis[: len(scene.basis)] = scene.basis
    for k, (surface, quad) in enumerate(zip(surfaces, quads, strict=True)):
        inside = _inside(label.shape, quad)
        basis[len(scene.basis) + k, :lamps] = spectra * surface
        material[inside], label[inside] = len(scene.basis) + k, labels[k]
        for lamp in range(lamps):
            coef[lamp][:, inside] = 0
            coef[lamp, lamp][inside] = fields[lamp][inside]
    reflectances = np.array([reflectance for _, reflectance in patches])
    lighter = float(reflectances[white].mean() / scene.patch_reflectance[scene.white].mean())
    return replace(
        scene,
        coef=coef,
        basis=basis,
        material=material,
        label=label,
        patch_reflectance=reflectances,
        card_patches_px=np.array([quad for quad, _ in patches]),
        white=white,
        white_level=scene.white_level * lighter,
    )


def _light(scene: Scene) -> tuple[FloatArray, list[FloatArray]]:
    """Return each lamp's light (81,) on the classic white patch, and its falling off (height, width) from there."""
    inner = [scene.patch(k) for k in range(len(scene.patch_reflectance))]
    places = np.array([np.argwhere(mask).mean(axis=0) for mask in inner])
    pixels = np.indices(scene.label.shape).reshape(2, -1).T
    origin, scale = places.mean(axis=0), float(np.ptp(places, axis=0).max())
    spectra, fields = [], []
    for lamp in range(len(scene.coef)):
        on_patches = np.array([_mean_radiance(scene, lamp, mask) for mask in inner]) / scene.patch_reflectance
        strength = np.log(on_patches.mean(axis=1) / on_patches[WHITE_PATCH].mean())
        # dark patches shine a little, which is not light falling on them: the light patches tell more
        weight = np.sqrt(scene.patch_reflectance.mean(axis=1))
        fitted = np.linalg.lstsq(_parabola((places - origin) / scale) * weight[:, None], strength * weight, rcond=None)
        spectra.append(on_patches[WHITE_PATCH])
        # held to the card's neighbourhood: a parabola runs away further off
        near = np.clip((pixels - origin) / scale, -1, 1)
        fields.append(np.exp(_parabola(near) @ fitted[0]).reshape(scene.label.shape))
    return np.array(spectra), fields


def _parabola(at: FloatArray) -> FloatArray:
    y, x = at.T
    return np.column_stack([np.ones(len(at)), y, x, y * y, x * x, x * y])


def _mean_radiance(scene: Scene, lamp: int, mask: BoolArray) -> FloatArray:
    coef = scene.coef[lamp][:, mask].astype(float).mean(axis=1)
    radiance: FloatArray = coef @ scene.basis[scene.material[mask][0]]
    return radiance


def _inside(shape: tuple[int, ...], quad: AnyArray) -> BoolArray:
    """Return the pixels whose centres lie in a quad; pixel (0, 0) spans 0 to 1."""
    mask = np.zeros(shape, dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.round((quad - 0.5) * 256).astype(np.int32), 1, lineType=cv2.LINE_8, shift=8)
    return mask > 0
