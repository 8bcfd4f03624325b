"""The QR codes in a picture; runs in the process that unpacks pictures, which knows the picture and nothing else.

Found by OpenCV's own detectors, which need no model: cv2.QRCodeDetector, and cv2.QRCodeDetectorAruco for the small and
tilted codes that the first misses.
"""

from collections.abc import Iterator

import cv2
import numpy as np

from tenter.arrays import ByteArray
from tenter.photo.decoders.decoded import Unpacked, eight_bits
from tenter.photo.decoders.unpacking import unpack

MOST_CODES = 6  # that are told of one picture: more are no label held before a phone; set by judgement
LONGEST_CODE = 300  # characters that are told of one: a label's code has 200 bytes at most
_SMALLER = 0.5  # of the picture's sides: the second detector is slow on coarse cloth, and quick there

_Detector = cv2.QRCodeDetector | cv2.QRCodeDetectorAruco


def unpack_codes(content: bytes, name: str, kind: str, longest: int) -> Unpacked:
    """Return what the QR codes in a picture say, as the notes of a picture of one pixel; nothing else of it goes on.

    longest: pixels a side in which they are looked for. Raises as `unpack`.
    """
    found = unpack(content, name, kind, longest).values
    grey = cv2.cvtColor(found if found.dtype == np.uint8 else eight_bits(found), cv2.COLOR_RGB2GRAY)
    smaller = cv2.resize(grey, None, fx=_SMALLER, fy=_SMALLER, interpolation=cv2.INTER_AREA)
    first, second = cv2.QRCodeDetector(), cv2.QRCodeDetectorAruco()
    texts = [*_read(first, grey), *_read(second, smaller)] or [*_read(second, grey)]
    return Unpacked(np.zeros((1, 1, 3), dtype=np.uint8), notes=tuple(dict.fromkeys(texts))[:MOST_CODES])


def _read(detector: _Detector, grey: ByteArray) -> Iterator[str]:
    """Give the text of each code in a picture (height, width); none where the detector gives up."""
    try:
        _, texts, _, _ = detector.detectAndDecodeBytesMulti(grey)
    except cv2.error:  # it does so over some pictures without a code
        return
    for text in texts:
        if text:
            yield text.decode("utf-8", "replace")[:LONGEST_CODE]
