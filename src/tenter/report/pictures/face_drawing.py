"""The picture of a measured face as a PNG or PDF file, drawn by typst, and a part of a photograph as a JPEG."""

import io
import json
import tempfile
from dataclasses import asdict
from enum import StrEnum
from pathlib import Path

from PIL import Image

from tenter.photo.files.loading import Photo
from tenter.report.drawing.typesetting import template_text, typst_for
from tenter.report.pictures.face_picture import FacePicture
from tenter.report.pictures.shares import PictureView

_PHOTO_SIDE = 1600  # pixels of the longer side


class DrawingForm(StrEnum):
    """What the picture is written as."""

    PNG = "png"
    PDF = "pdf"


def draw_face_picture(
    picture: FacePicture, photo: Photo, form: DrawingForm = DrawingForm.PNG, pixels_per_inch: float = 200
) -> bytes:
    """Return the picture as a PNG or PDF file. What is drawn passes through a folder that only its owner can read.

    pixels_per_inch: of a PNG, in pixels to the inch. Raises `MissingPart` where what draws it is not installed.
    """
    typst = typst_for("a picture")
    with tempfile.TemporaryDirectory(prefix="tenter-picture-") as folder:
        (Path(folder) / "photo.jpg").write_bytes(part_jpeg(photo, picture.view))
        template = Path(folder) / "face_picture.typ"
        template.write_bytes(template_text("templates/face_picture.typ"))
        inputs = {"picture": json.dumps(asdict(picture), ensure_ascii=False)}
        drawn: bytes | list[bytes] = typst.compile(
            str(template), root=folder, format=form.value, ppi=pixels_per_inch, sys_inputs=inputs, timestamp=0
        )
    return drawn[0] if isinstance(drawn, list) else drawn


def part_jpeg(photo: Photo, view: PictureView) -> bytes:
    """Return a part of a photograph as a JPEG, sRGB, of at most 1600 pixels a side."""
    height, width = photo.rgb.shape[:2]
    left, top, right, bottom = view
    picture = Image.fromarray(photo.rgb).crop(
        (round(left * width), round(top * height), round(right * width), round(bottom * height))
    )
    picture.thumbnail((_PHOTO_SIDE, _PHOTO_SIDE))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=92)
    return out.getvalue()
