"""A client's own photograph beside two drapes, as the model of reflected light has it: a picture, not a photograph.

The cloth below the chin gets the drape's true colour with the folds' shade, and the face the light that the drape is
predicted to throw. Nothing else is changed.
"""

import json
import tempfile
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tenter.arrays import ByteArray, FloatArray
from tenter.colorimetry.illuminants import white_point
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import XYZ_TO_SRGB, encode_srgb, lab_to_xyz
from tenter.consultation.client.face import Face
from tenter.consultation.reflected.effect import EffectSize
from tenter.consultation.reflected.on_face import FacePrediction
from tenter.language import N_, _, all_of, local_number
from tenter.photo.together.portrait import PortraitParts
from tenter.report.drawing.typesetting import template_text, typst_for
from tenter.report.pictures.face_colours import region_name
from tenter.report.pictures.reflected_map import surface_on_screen

MODEL_MARK = N_("Model, not a photograph")
_NOTE = N_(
    "Made from the client’s photograph, corrected by the card in it: the cloth is painted in the drape’s colour, and "
    "the face has the light that the drape is predicted to throw. The contrast between cloth and face is seen as well; "
    "it has no number. What the client wore in the photograph still lights neck and face a little."
)
# Of the cloth's shade: beyond these it is gloss or a gap; and its exponent, as a dark cloth shades more than a light.
_FOLDS, _FOLD_STRENGTH = (0.55, 1.25), 0.7
_RIM_PX = 4  # the cloth's outermost pixels, which hold some of what is beside it
_MARK_PX = 26  # of the letters of the mark on a panel 560 pixels wide
_PIXELS_PER_INCH = 180.0  # of the sheet: its pictures are printed pixel for pixel, or nearly so


@dataclass(frozen=True, slots=True)
class ModelPanel:
    """One drape: the file of its picture, the drape's name and colour, and what is said of it."""

    file: str
    name: str
    hex: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ModelSheet:
    """Everything on the picture but its pixels."""

    title: str
    mark: str
    panels: tuple[ModelPanel, ...]
    note: str


def model_sheet(predictions: Sequence[FacePrediction]) -> ModelSheet:
    """Return what is written on the picture of a portrait beside each drape."""
    panels = tuple(_written(found, f"panel-{k}.png") for k, found in enumerate(predictions))
    mark = _(MODEL_MARK)
    return ModelSheet(f"{mark}: {all_of([p.name for p in panels])}", mark, panels, _(_NOTE))


def reflected_photo(parts: PortraitParts, face: Face, predictions: Sequence[FacePrediction]) -> bytes:
    """Return a PNG of the portrait beside each drape; `face`: as measured in the same photograph.

    What is drawn passes through a folder that only its owner can read.
    """
    typst, sheet = typst_for("a picture"), model_sheet(predictions)
    with tempfile.TemporaryDirectory(prefix="tenter-picture-") as folder:
        for panel, found in zip(sheet.panels, predictions, strict=True):
            (Path(folder) / panel.file).write_bytes(_png(panel_pixels(parts, face, found)))
        template = Path(folder) / "reflected_photo.typ"
        template.write_bytes(template_text("templates/reflected_photo.typ"))
        inputs = {"sheet": json.dumps(asdict(sheet), ensure_ascii=False)}
        drawn: bytes | list[bytes] = typst.compile(
            str(template), root=folder, format="png", ppi=_PIXELS_PER_INCH, sys_inputs=inputs, timestamp=0
        )
    return drawn[0] if isinstance(drawn, list) else drawn


def panel_pixels(parts: PortraitParts, face: Face, found: FacePrediction) -> ByteArray:
    """Return the portrait beside one drape, sRGB 0-255, shape (height, width, 3)."""
    cloth = parts.cloth[..., None]
    painted = _lit(parts, face, found) * (1 - cloth) + _painted(parts, found) * cloth
    coded = encode_srgb(np.clip(painted @ XYZ_TO_SRGB.T, 0, 1))
    return (coded * 255 + 0.5).astype(np.uint8)


def marked_panel(parts: PortraitParts, face: Face, found: FacePrediction) -> bytes:
    """Return a PNG of the portrait beside one drape, with the mark that it is a model; nothing is written to a disk."""
    picture, mark = Image.fromarray(panel_pixels(parts, face, found)), _(MODEL_MARK)
    draw, font = ImageDraw.Draw(picture), ImageFont.load_default(_MARK_PX)
    left, top, right, bottom = draw.textbbox((_MARK_PX, _MARK_PX), mark, font=font)
    rim = _MARK_PX / 2
    draw.rectangle((left - rim, top - rim, right + rim, bottom + rim), fill="#1e1e1e")
    draw.text((_MARK_PX, _MARK_PX), mark, fill="#ffffff", font=font)
    out = BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def _written(found: FacePrediction, file: str) -> ModelPanel:
    colour, shown = surface_on_screen(found.surface)
    lines = _lines(found)
    if not shown:
        lines.append(_("A screen cannot show this colour exactly."))
    return ModelPanel(file, found.surface.name, colour, tuple(lines))


def _lines(found: FacePrediction) -> list[str]:
    """Return what is said of a drape's light: where it changes most, and where that cannot be seen."""
    small = len(found.of_size(EffectSize.TOO_SMALL))
    if small == len(found.effects):
        return [_("Its light is too small to see at every place.")]
    most = max(found.effects.values(), key=lambda effect: effect.delta_e_2000)
    return [
        _(
            "Largest change: {place}, ΔE00 {size} against black.",
            place=region_name(most.region),
            size=local_number(most.delta_e_2000, 1),
        ),
        _("Too small to see at {small} of {every} places.", small=small, every=len(found.effects)),
    ]


def _lit(parts: PortraitParts, face: Face, found: FacePrediction) -> FloatArray:
    """Return the portrait's light with what the drape adds to the face, place by place and gently between them."""
    white = white_point(D65_2.illuminant, D65_2.observer)
    change = np.zeros_like(parts.xyz)
    for region, weight in parts.places.items():
        if region in found.effects:
            before = np.array(face.regions[region].lab)
            ratio = lab_to_xyz(before + found.effects[region].delta_lab, white) / lab_to_xyz(before, white)
            change += weight[..., None] * np.log(ratio)
    lit: FloatArray = parts.xyz * np.exp(change * parts.face[..., None])
    return lit


def _painted(parts: PortraitParts, found: FacePrediction) -> FloatArray:
    """Return the drape's colour with the shade of the folds that the cloth in the photograph has."""
    colour = reflectance_to_xyz(np.minimum(found.surface.reflectance, 1.0), D65_2.illuminant, D65_2.observer)
    painted: FloatArray = _shade(parts)[..., None] * colour
    return painted


def _shade(parts: PortraitParts) -> FloatArray:
    """Return how much lighter or darker (height, width) the folds are; at the rim as beside it, within the cloth."""
    luminance = np.maximum(parts.xyz[..., 1], 1e-4)
    side = 2 * _RIM_PX + 1
    core = cv2.erode((parts.cloth > 0.5).astype(float), np.ones((side, side)))
    near = cv2.GaussianBlur(core, (0, 0), _RIM_PX)
    inside = cv2.GaussianBlur(core * luminance, (0, 0), _RIM_PX) / np.maximum(near, 1e-6)
    usual = float(np.median(luminance[core > 0]))
    level = np.where(core > 0, luminance, np.where(near > 1e-3, inside, usual))
    shade: FloatArray = np.clip(level / usual, *_FOLDS) ** _FOLD_STRENGTH
    return shade


def _png(pixels: ByteArray) -> bytes:
    out = BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    return out.getvalue()
