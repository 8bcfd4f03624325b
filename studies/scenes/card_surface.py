"""A classic card as real ones are: paints off their figures, a frame that shines, a small veil, a slight bend.

On real cards the frame's light runs over 0.7 to 1.5 in its logarithm (plane and spots) where the patches' own light
runs over a quarter of that, and the frame is semi-matt: 0.03 to 0.08 of white.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import cv2
import numpy as np

from studies.scenes.card_light_faults import CARD, card_mask, white_at_card
from studies.scenes.exposure import FIRST_PATCH, Scene, Sight, load_scene
from studies.scenes.tilted_card import FOCAL_PX, grown, lamp_direction, polygon, without_card
from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.photo.patches.reference import CardValues, classic24

_FRAME_KEPT = 0.5  # of the rendered frame's own light: what is matt in it
_SPOTS, _SPOT_SIZE = 5, 0.25  # lobes of sheen, and how wide they are in card heights


@dataclass(frozen=True)
class CardSurface:
    """How one card differs from a matt, flat one with the published paints.

    values: the figures its paints were made to. paint: standard deviation of the logarithm of each paint's reflectance,
    and as much again of its slope over the spectrum. sheen: of the frame, as a part of white; range: how far the
    logarithm of sheen runs over the card. veil: what the patches have of the frame's sheen. bend: degrees between the
    card's normal at its middle and at its edge; degrees: which way it is bent, 0 across. seed: of paints and sheen.
    """

    values: CardValues = CardValues.MEAN_OF_30
    paint: float = 0.0
    sheen: float = 0.0
    range: float = 0.0
    veil: float = 0.0
    bend: float = 0.0
    degrees: float = 0.0
    seed: int = 0

    def seen(self, sight: Sight) -> FloatArray:
        """Return what reaches the sensor from the scene with this card: sheen and bend."""
        return self._bent(replace(sight, raw=self._shining(sight)))

    def _shining(self, sight: Sight) -> FloatArray:
        if not self.sheen:
            return sight.raw
        strength = self.sheen_over_card(sight.scene)[..., None] * white_at_card(sight)
        frame = (sight.scene.label == CARD)[..., None]
        patches = (sight.scene.label >= FIRST_PATCH)[..., None]
        shining: FloatArray = np.where(frame, _FRAME_KEPT * sight.raw + strength, sight.raw)
        return shining + patches * self.veil * strength

    def sheen_over_card(self, scene: Scene) -> FloatArray:
        """Return the frame's sheen as a part of white (height, width): a plane and a few lobes in its logarithm."""
        rng = np.random.default_rng(self.seed)
        corners = np.asarray(scene.card_corners_px, dtype=float)
        height = float(np.ptp(corners[:, 1]))
        at = (np.moveaxis(np.indices(scene.label.shape)[::-1], 0, -1) - corners.mean(axis=0)) / height
        turn = rng.uniform(0, 2 * np.pi)
        field = at @ np.array([np.cos(turn), np.sin(turn)]) * rng.uniform(0.5, 1.0)
        for middle, size in zip(rng.uniform(-0.5, 0.5, (_SPOTS, 2)), rng.normal(0, 0.35, _SPOTS), strict=True):
            field = field + size * np.exp(-0.5 * (((at - middle) / _SPOT_SIZE) ** 2).sum(axis=-1))
        on_card = field[card_mask(scene, 0) > 0]
        middled = (field - on_card.mean()) / max(float(np.ptp(on_card)), 1e-9)
        strength: FloatArray = self.sheen * np.exp(self.range * middled)
        return strength

    def _bent(self, sight: Sight) -> FloatArray:
        """Return the sight with the card bent about its middle: nearer or further off and lit as it slopes."""
        if not self.bend:
            return sight.raw
        scene, raw = sight.scene, sight.raw
        corners = grown(np.asarray(scene.card_corners_px, dtype=float))
        picture = np.array([scene.label.shape[1], scene.label.shape[0]]) / 2
        way = np.array([np.cos(np.radians(self.degrees)), np.sin(np.radians(self.degrees))])
        at = np.moveaxis(np.indices(scene.label.shape)[::-1], 0, -1) + 0.5
        half = float(np.abs((corners - corners.mean(axis=0)) @ way).max())
        along = np.clip((at - corners.mean(axis=0)) @ way / half, -1.1, 1.1)
        slope = np.radians(self.bend) * along
        lamp = lamp_direction(scene, overhead=self.seed % 2 == 0)
        gain = np.cos(slope) - np.sin(slope) * (lamp[:2] @ way) / lamp[2]
        deeper = np.radians(self.bend) * along**2 / 2 * half / FOCAL_PX
        source = (picture + (at - picture) * (1 + deeper)[..., None] - 0.5).astype(np.float32)
        card = cv2.remap(raw * gain[..., None], source, None, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
        inside = cv2.remap(polygon(raw.shape, corners), source, None, cv2.INTER_LINEAR)
        inside = np.asarray(cv2.GaussianBlur(inside, (0, 0), 0.6))[..., None]
        return np.asarray(inside * np.maximum(card, 0) + (1 - inside) * without_card(raw, scene))


@lru_cache(maxsize=4)
def repainted(name: str, surface: CardSurface) -> Scene:
    """Return a scene of studies/scenes/rendered whose card has its own paints: off the published figures, as cards
    are."""
    scene = load_scene(name)
    rng = np.random.default_rng(surface.seed + 1)
    figures = classic24(surface.values).reflectances / classic24().reflectances
    along = (WAVELENGTHS_NM - WAVELENGTHS_NM.mean()) / np.ptp(WAVELENGTHS_NM) * 2
    off = surface.paint * (rng.normal(size=(24, 1)) + rng.normal(size=(24, 1)) * along)
    factors = figures * np.exp(off)
    basis = scene.basis.astype(float)
    for k, factor in enumerate(factors):
        (row,) = np.unique(scene.material[scene.label == FIRST_PATCH + k])
        basis[row] = basis[row] * factor
    return replace(scene, basis=basis, patch_reflectance=scene.patch_reflectance * factors)
