"""What is looked at of what a camera writes beside a picture: how it was held, and how long the lens was.

Source: EXIF 2.32, tags 274 and 41989.
"""

from collections.abc import Callable

from PIL import Image

_ORIENTATION = 0x0112  # tag of EXIF 2.32, Orientation
_EXIF_BLOCK, _FOCAL_35MM = 0x8769, 0xA405  # tags of EXIF 2.32, the Exif IFD and FocalLengthIn35mmFilm
_FOCALS_MM = (8.0, 400.0)  # what is less or more is no focal length of a portrait


def exif_of(content: bytes | None) -> Image.Exif:
    """Return the tags in a block of EXIF, none where there is no block."""
    found = Image.Exif()
    found.load(content or b"")
    return found


def orientation_of(exif: Callable[[], Image.Exif]) -> int:
    """Return the orientation, 1 to 8; 1 where it is missing or cannot be."""
    try:
        found = exif().get(_ORIENTATION, 1)
    except Exception:  # broken EXIF raises whatever it makes the parser raise, and is no reason to refuse a picture
        return 1
    return found if isinstance(found, int) and 1 <= found <= 8 else 1


def focal_35mm(exif: Callable[[], Image.Exif]) -> float | None:
    """Return the focal length in 35 mm film, in millimetres; None where it is missing or cannot be."""
    try:
        found = float(exif().get_ifd(_EXIF_BLOCK).get(_FOCAL_35MM, 0))
    except Exception:  # as for the orientation
        return None
    return found if _FOCALS_MM[0] <= found <= _FOCALS_MM[1] else None
