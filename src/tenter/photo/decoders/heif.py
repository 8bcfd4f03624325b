"""HEIC and HEIF, through libheif.

The container turns its own pictures (ISO/IEC 23008-12, 6.5.10 and 6.5.12), and libheif does so when it unpacks them:
EXIF's orientation is a copy of that, and to follow it too would turn them twice.
"""

import io
from typing import Any

import numpy as np
import pillow_heif

from tenter.arrays import AnyArray
from tenter.errors import UnreadableInput
from tenter.language import _
from tenter.photo.decoders.decoded import Decoded, Space, require_sane_size, without_alpha
from tenter.photo.decoders.exif import exif_of, focal_35mm
from tenter.photo.decoders.lengths import require_heif_boxes
from tenter.photo.decoders.profiles import MatrixProfile, of_primaries

_HDR_CURVES = {16: "PQ", 18: "HLG"}  # ITU-T H.273, table 3


def decode_heif(content: bytes, name: str) -> Decoded:
    """Return the primary picture of a HEIC file, in 16 bits where it holds more than 8.

    Raises `UnreadableInput` for a picture of a size that is never unpacked and for colours that are not read,
    `ValueError` where it is not of the size that its header says, and whatever libheif raises: `refusing` makes a
    refusal of these.
    """
    require_heif_boxes(content, name)
    held = pillow_heif.open_heif(io.BytesIO(content), convert_hdr_to_8bit=False)
    picture = held[held.primary_index]
    width, height = picture.size
    require_sane_size(width, height, 8 if ";16" in picture.mode else 4, name)
    notes: tuple[str, ...] = ()
    if len(held) > 1:
        notes = (_("The file holds {count} pictures; the one marked as the main one was read.", count=len(held)),)
    profile = picture.info.get("icc_profile") or _named_colours(picture.info.get("nclx_profile"), name)
    values: AnyArray = np.array(picture)
    if (width, height) != values.shape[1::-1]:
        raise ValueError("the picture is not of the size that its header says")
    if values.ndim == 3 and values.shape[2] in {2, 4}:
        values, more = without_alpha(values)
        notes += more
    space = Space.GREY if values.ndim == 2 else Space.RGB
    focal = focal_35mm(lambda: exif_of(picture.info.get("exif")))
    return Decoded(values, space, (width, height), profile, 1, notes, focal_35mm=focal)


def _named_colours(said: dict[str, Any] | None, name: str) -> MatrixProfile | None:
    """Return the profile of a file that names its primaries by number instead of carrying one."""
    if not said:
        return None
    if said.get("transfer_characteristics") in _HDR_CURVES:
        raise UnreadableInput(
            name,
            _(
                "the picture is coded for HDR screens ({curve})",
                curve=_HDR_CURVES[said["transfer_characteristics"]],
            ),
            _("Turn HDR off in the camera app, or export a JPEG"),
        )
    return of_primaries(int(said.get("color_primaries", 1)))
