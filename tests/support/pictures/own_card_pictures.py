"""Pictures with our own card in them, for the tests: the sheet itself, and the card laid into a portrait."""

from functools import cache

import cv2
import numpy as np
import pypdfium2
from numpy.testing import assert_allclose

from tenter.photo.own_card import layout
from tenter.photo.own_card.marks import DICTIONARY
from tenter.report.printing.card_sheet import card_sheet, write_card_sheet

DOTS_PER_INCH = 150
SERIAL = 4711
NOMINAL = np.stack([patch.nominal_code for patch in layout.CARD_PATCHES])


def rendered(path):
    """The first page of a PDF as pixels at 150 dpi."""
    document = pypdfium2.PdfDocument(str(path))
    try:
        return np.array(document[0].render(scale=DOTS_PER_INCH / 72).to_pil().convert("RGB"))
    finally:
        document.close()


@cache
def card_pixels(folder, serial=SERIAL):
    """The card cut from its rendered sheet."""
    sheet = card_sheet(serial)
    write_card_sheet(sheet, folder / "card.pdf")
    left, top, width, height = np.round(np.array(sheet.card_mm) / 25.4 * DOTS_PER_INCH).astype(int)
    return rendered(folder / "card.pdf")[top : top + height, left : left + width]


def laid_into(picture, card, corners):
    """A copy of a picture with the card drawn into the quadrilateral `corners`, clockwise from its upper left."""
    width = card.shape[1]
    target = np.array(corners, dtype=np.float32)
    smaller = max(1.0, width / float(np.linalg.norm(target[1] - target[0])))
    card = cv2.resize(card, None, fx=1 / smaller, fy=1 / smaller, interpolation=cv2.INTER_AREA)
    source = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float32) * (card.shape[1], card.shape[0]) - 0.5
    warp = cv2.getPerspectiveTransform(source.astype(np.float32), target)
    size = (picture.shape[1], picture.shape[0])
    drawn = cv2.warpPerspective(card, warp, size, flags=cv2.INTER_LINEAR)
    inside = cv2.warpPerspective(np.full(card.shape[:2], 255, np.uint8), warp, size) == 255
    out = picture.copy()
    out[inside] = drawn[inside]
    return out


def with_mark(picture, number, left, top, side):
    """A copy of a picture with a mark of our card's family on a white square of its own, as other sheets have them."""
    dictionary = cv2.aruco.getPredefinedDictionary(DICTIONARY)
    mark = cv2.aruco.generateImageMarker(dictionary, number, side)
    out, edge = picture.copy(), side // 5
    out[top - edge : top + side + edge, left - edge : left + side + edge] = 255
    out[top : top + side, left : left + side] = mark[..., None]
    return out


def assert_read_as_asked(reading, code_values=3):
    assert_allclose(reading.code * 255, NOMINAL * 255, atol=code_values)
