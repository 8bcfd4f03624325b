"""Ways in which the card gets another amount or colour of light than the face, put into rendered photographs.

They act on what reaches the sensor, so that noise, white balance, tone and JPEG come after them; what a phone does to
a face acts on its linear picture. Nothing is random.
"""

from functools import partial

import cv2
import numpy as np

from studies.scenes.cameras import light_power, sensitivities
from studies.scenes.exposure import FIRST_PATCH, Fault, Scene, Sight
from studies.scenes.phone import tone_mapped_locally
from studies.scenes.tilted_card import tilted
from tenter.arrays import FloatArray
from tenter.colorimetry.illuminants import WAVELENGTHS_NM

CARD = 13  # label of the card's frame
_BESIDE_SKIN = ("lips", "eye_l", "eye_r", "neck", "cap")  # of a head
_OVAL = ("forehead", "cheek_l", "cheek_r", "jaw_l", "jaw_r", "chin")
_HAND_PX, _HAND_SOFT_PX = 14, 9.0  # how far a shade on card and hand reaches beyond the card, and how soft it is


def card_mask(scene: Scene, soft_px: float = 0.8) -> FloatArray:
    """Return 1 on the card with its frame and 0 beside it (height, width), with a soft edge."""
    mask = ((scene.label == CARD) | (scene.label >= FIRST_PATCH)).astype(float)
    return np.asarray(cv2.GaussianBlur(mask, (0, 0), soft_px)) if soft_px else mask


def along_card(scene: Scene, downwards: bool = True) -> FloatArray:
    """Return 0 to 1 (height, width) from the card's top to its bottom, or from its left to its right."""
    corners = np.asarray(scene.card_corners_px, dtype=float)[:, 1 if downwards else 0]
    at = np.indices(scene.label.shape)[0 if downwards else 1]
    along: FloatArray = np.clip((at - corners.min()) / np.ptp(corners), 0, 1)
    return along


def white_at_card(sight: Sight) -> FloatArray:
    """Return what a perfect white gives where the card's white patch is: (3,)."""
    reflectance = float(sight.scene.patch_reflectance[sight.scene.white].mean())
    white: FloatArray = sight.raw[sight.scene.patch(sight.scene.white)].mean(axis=0) / reflectance
    return white


def shaded(sight: Sight, part: float, soft: bool) -> FloatArray:
    """Return the sight with a part of the light left on the card: to its very edge, or softly with what is around."""
    return sight.raw * _shade(sight.scene, part, soft)


def _shade(scene: Scene, part: float, soft: bool) -> FloatArray:
    mask = card_mask(scene)
    if soft:
        kernel = np.ones((2 * _HAND_PX + 1,) * 2, dtype=np.uint8)
        grown = cv2.dilate((mask > 0.5).astype(np.uint8), kernel).astype(float)
        mask = np.asarray(cv2.GaussianBlur(grown, (0, 0), _HAND_SOFT_PX))
    return (1 - (1 - part) * mask)[..., None]


def veiled(sight: Sight, light: float, graded: bool) -> FloatArray:
    """Return the sight with a veil on the card, a part of white on the whole; graded: none to twice as much."""
    strength = light * (2 * along_card(sight.scene) if graded else 1.0)
    return sight.raw + (card_mask(sight.scene) * strength)[..., None] * white_at_card(sight)


CLOTHS: dict[str, FloatArray] = {
    "red": 0.04 + 0.72 / (1 + np.exp(-(WAVELENGTHS_NM - 600) / 10)),
    "green": 0.05 + 0.45 * np.exp(-0.5 * ((WAVELENGTHS_NM - 525) / 32) ** 2),
    "blue": 0.05 + 0.5 * np.exp(-0.5 * ((WAVELENGTHS_NM - 450) / 35) ** 2),
    "yellow": 0.06 + 0.75 / (1 + np.exp(-(WAVELENGTHS_NM - 510) / 12)),
}  # invented reflectances (81,)


def tinted(sight: Sight, cloth: str, share: float, graded: bool) -> FloatArray:
    """Return the sight with light from a coloured cloth or wall on the card.

    share: of the card's light, at the wavelength that the cloth reflects best; graded: none to twice as much.
    """
    thrown = CLOTHS[cloth] / CLOTHS[cloth].max()
    added = _card_signal(sight, thrown)
    strength = share * (2 * along_card(sight.scene) if graded else 1.0)
    return sight.raw + (card_mask(sight.scene, 0) * strength)[..., None] * added


def _card_signal(sight: Sight, factor: FloatArray) -> FloatArray:
    """Return the signal of the card (height, width, 3), were its light multiplied by a factor (81,); 0 elsewhere."""
    scene, found = sight.scene, np.zeros_like(sight.raw)
    on_card = card_mask(scene, 0) > 0
    curves = sensitivities(sight.camera) * factor[:, None]
    for m in np.unique(scene.material[on_card]):
        where = on_card & (scene.material == m)
        for coef, lamp in zip(scene.coef, sight.lamps, strict=True):
            seen = scene.basis[m] @ (curves * light_power(lamp)[:, None])
            found[where] += coef[:, where].T.astype(float) @ seen
    return found


def turned_and_shaded(sight: Sight, degrees: float, part: float) -> FloatArray:
    """Return the sight with the card turned to the lamp, and a soft shade on the place where it was."""
    return tilted(sight, degrees) * _shade(sight.scene, part, soft=True)


def face_brightened(linear: FloatArray, scene: Scene, factor: float, whole_head: bool) -> FloatArray:
    """Return a picture whose face is lighter: with cap and neck, softly; or the oval of the face alone."""
    mask, soft = (_head(scene), 10.0) if whole_head else (_oval(scene), 5.0)
    feathered = np.asarray(cv2.GaussianBlur(mask, (0, 0), soft))[..., None]
    brighter: FloatArray = linear * (1 + (factor - 1) * feathered)
    return brighter


def _head(scene: Scene) -> FloatArray:
    numbers = {name: int(k) for k, name in scene.meta["labels"].items()}
    labels = [*scene.regions["all_skin"], *(numbers[name] for name in _BESIDE_SKIN)]
    return np.isin(scene.label, labels).astype(float)


def _oval(scene: Scene) -> FloatArray:
    """Return the ellipse about forehead, cheeks and jaws: what a phone takes for a face."""
    ys, xs = np.nonzero(np.isin(scene.label, [label for name in _OVAL for label in scene.regions[name]]))
    around = cv2.fitEllipse(cv2.convexHull(np.stack([xs, ys], axis=1).astype(np.float32)))
    mask = np.zeros(scene.label.shape)
    cv2.ellipse(mask, around, 1.0, -1)
    return mask


def _mapped(linear: FloatArray, _: Scene, strength: float) -> FloatArray:
    return tone_mapped_locally(linear, strength)


def kinds() -> dict[str, dict[str, Fault]]:
    """Return the faults by name, under the name of their group."""
    return {
        "tilt": _tilts(),
        "shade": {
            f"shade ×{part} {where}": Fault(on_light=partial(shaded, part=part, soft=soft))
            for soft, where in ((True, "on card and hand"), (False, "to the card's edge"))
            for part in (0.85, 0.7, 0.5)
        },
        "sheen": {
            f"sheen {light:.0%}{', graded' * graded}": Fault(on_light=partial(veiled, light=light, graded=graded))
            for light, graded in ((0.03, False), (0.06, False), (0.1, False), (0.06, True))
        },
        "phone": _phones(),
        "tint": {
            f"tint {share:.0%} {cloth}{', graded' * graded}": Fault(
                on_light=partial(tinted, cloth=cloth, share=share, graded=graded)
            )
            for cloth in CLOTHS
            for share, graded in ((0.04, False), (0.08, False), (0.08, True))
        },
        "two at once": {
            f"tilt {abs(degrees)}° {word}, shade ×{part}": Fault(
                on_light=partial(turned_and_shaded, degrees=degrees, part=part)
            )
            for degrees, word, part in ((10, "to the lamp", 0.85), (-10, "from the lamp", 0.7))
        },
    }


def _tilts() -> dict[str, Fault]:
    aside = {
        f"tilt {abs(degrees)}° {'to' if degrees > 0 else 'from'} the lamp": Fault(
            on_light=partial(tilted, degrees=degrees)
        )
        for degrees in (10, 20, 30, -10, -20, -30)
    }
    overhead = {
        f"tilt 20° {word}": Fault(on_light=partial(tilted, degrees=degrees, overhead=True))
        for degrees, word in ((20, "up"), (-20, "down"))
    }
    return aside | overhead


def _phones() -> dict[str, Fault]:
    brightened = {
        f"{what} ×{factor}": Fault(in_phone=partial(face_brightened, factor=factor, whole_head=whole))
        for whole, what in ((True, "head brightened"), (False, "face brightened"))
        for factor in (1.15, 1.3, 1.5)
    }
    mapped = {
        f"tone mapped locally, {strength:.0%}": Fault(in_phone=partial(_mapped, strength=strength))
        for strength in (0.25, 0.5)
    }
    return brightened | mapped
