"""A drawing such as a logo as it looks on white paper; runs in a process of its own (`apart.py`).

Of a photograph the colours beneath its transparent parts are read; a logo is meant to show the paper there.
"""

import io

import numpy as np
from PIL import Image

from tenter.photo.decoders.decoded import Unpacked, refusing
from tenter.photo.decoders.signature import FileKind
from tenter.photo.decoders.unpacking import unpack

UNPACK_ON_WHITE = "tenter.photo.decoders.on_white:unpack_on_white"
_WITH_ALPHA = {"LA", "PA", "RGBA", "La", "RGBa"}


def unpack_on_white(content: bytes, name: str, kind: str, longest: int) -> Unpacked:
    """Return a picture as `tenter.photo.decoders.unpacking.unpack` does, with white where a PNG is transparent.

    Raises `UnreadableInput` as it does.
    """
    found = unpack(content, name, kind, longest)  # all that may be wrong with the file is looked for here
    if kind != FileKind.PNG:
        return found
    with refusing(name), Image.open(io.BytesIO(content), formats=("PNG",)) as picture:
        if picture.mode not in _WITH_ALPHA and "transparency" not in picture.info:
            return found
        seen = picture.convert("RGBA")
        on_white = Image.alpha_composite(Image.new("RGBA", seen.size, "white"), seen).convert("RGB")
        on_white.thumbnail((longest, longest))
        return Unpacked(np.ascontiguousarray(on_white), max(1.0, max(seen.size) / longest))
