"""DNG and other raw files, through LibRaw: the sensor's own values, so the colours no app has touched.

The camera's white balance, no brightening by content, highlights clipped, then coded as sRGB in 16 bits. LibRaw turns
the picture as the camera was held.
"""

import io
from typing import Any

import numpy as np
import rawpy

from tenter.arrays import WordArray
from tenter.errors import UnreadableInput
from tenter.language import N_, _
from tenter.photo.decoders.decoded import MAX_WORKING_SIDE, Decoded, Space, require_sane_size

_UNBALANCED = N_("The raw file names no white balance; daylight was taken.")


def decode_raw(content: bytes, name: str) -> Decoded:
    """Return a raw file as 16-bit sRGB; one with twice the pixels wanted is read a 2 × 2 block to a pixel.

    Raises `UnreadableInput` for a size that is never unpacked, and where no picture can be developed.
    """
    with rawpy.imread(io.BytesIO(content)) as raw:
        sizes = raw.sizes
        require_sane_size(sizes.raw_width, sizes.raw_height, 2, name)
        half = max(sizes.width, sizes.height) >= 2 * MAX_WORKING_SIDE
        require_sane_size(sizes.width // (1 + half), sizes.height // (1 + half), 8, name)
        values: WordArray = raw.postprocess(**_settings(half))
        balanced = raw.camera_whitebalance[0] > 0
    turned = sizes.flip in {5, 6}
    full_size = (sizes.height, sizes.width) if turned else (sizes.width, sizes.height)
    if values.ndim != 3 or values.shape[2] != 3 or not values.any():
        raise UnreadableInput(
            name, _("the raw file holds no picture that can be developed"), _("Export a JPEG or a TIFF")
        )
    return Decoded(np.ascontiguousarray(values), Space.RGB, full_size, notes=() if balanced else (_(_UNBALANCED),))


def _settings(half: bool) -> dict[str, Any]:
    return {
        "use_camera_wb": True,
        "no_auto_bright": True,
        "adjust_maximum_thr": 0.0,  # white is where the sensor ends, not where this picture does
        "highlight_mode": rawpy.HighlightMode.Clip,
        "output_color": rawpy.ColorSpace.sRGB,
        "output_bps": 16,
        "gamma": (2.4, 12.92),  # the power and the slope near black of sRGB
        "demosaic_algorithm": rawpy.DemosaicAlgorithm.LINEAR,  # a region's mean needs no edges drawn
        "half_size": half,
    }
