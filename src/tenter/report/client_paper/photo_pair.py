"""Two photographs on a paper, best against less good: printed only where the client has agreed to it."""

import base64
from dataclasses import dataclass

import cv2
import numpy as np

from tenter.arrays import ByteArray
from tenter.errors import TenterError
from tenter.language import N_, _
from tenter.photo.together.side_by_side import SideBySide
from tenter.report.client_paper.own_page import PrintedPicture

_JPEG_QUALITY = 90  # of 100
_MARK = N_("Photographs, each corrected by the colour card in it. Cut and scaled alike; nothing else was changed.")


@dataclass(frozen=True, slots=True)
class PhotoPair:
    """A colour that did best and one that did less well, below one face, with a line for each. note: what they are."""

    best: PrintedPicture
    best_line: str
    other: PrintedPicture
    other_line: str
    note: str


def photo_pair(found: SideBySide, agreed: bool) -> PhotoPair | None:
    """Return the photographs as they are printed, or None where they are left out.

    Raises `TenterError` where the client has not agreed to their being printed.
    """
    require_agreed(agreed)
    if found.pictures is None:
        return None
    best, other = found.pictures
    lines = _("One of the best colours"), _("A less good one")
    return PhotoPair(_picture(best, lines[0]), lines[0], _picture(other, lines[1]), lines[1], _(_MARK))


def require_agreed(agreed: bool) -> None:
    """Raise `TenterError` where the client has not agreed to photographs being printed."""
    if not agreed:
        raise TenterError(
            _(
                "photographs of a client are printed only where the client has agreed to just that; ask, and "
                "say so with --photos-agreed"
            )
        )


def _picture(pixels: ByteArray, line: str) -> PrintedPicture:
    done, content = cv2.imencode(
        ".jpg", cv2.cvtColor(np.ascontiguousarray(pixels), cv2.COLOR_RGB2BGR), (cv2.IMWRITE_JPEG_QUALITY, _JPEG_QUALITY)
    )
    if not done:
        raise TenterError(_("a photograph could not be written down; try again with another one"))
    address = f"data:image/jpeg;base64,{base64.b64encode(np.asarray(content).tobytes()).decode()}"
    high, wide = pixels.shape[:2]
    return PrintedPicture(
        address, wide, high, _("{line}: a photograph of the face, corrected by the card").format(line=line)
    )
