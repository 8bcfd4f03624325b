"""Labels for the cloths: true millimetres, marks where they are cut, and every code read back off the drawn page."""

import cv2
import numpy as np
import pypdfium2
import pytest

from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.cloths.kit import Drape
from tenter.errors import TenterError
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.workshop.labels import label_pdf, label_sheets
from tenter.report.workshop.qr_code import QUIET_SQUARES, qr_path, qr_squares
from tests.support.tag_tree import tags

DAY = "2026-11-29"
DOTS_PER_MM = 300 / 25.4


def rendered(document):
    """Return the pages as grey pixels at 300 dpi, and their texts."""
    with pypdfium2.PdfDocument(document) as pdf:
        assert pdf.is_tagged()
        pixels = [page.render(scale=300 / 72).to_numpy()[..., :3].mean(axis=-1).astype(np.uint8) for page in pdf]
        return pixels, [page.get_textpage().get_text_range() for page in pdf]


def code_read(pixels, label, side_mm):
    """Return what the code of a label says, read off the page."""
    x, y, side = (round(v * DOTS_PER_MM) for v in (label.left, label.top, side_mm))
    return cv2.QRCodeDetector().detectAndDecode(np.ascontiguousarray(pixels[y : y + side, x : x + side]))[0]


def test_every_code_of_a_kit_is_read_back_off_the_page(demo_kit):
    sheets = label_sheets(demo_kit.drapes)
    document, notes = label_pdf(sheets, DAY)
    pixels, texts = rendered(document)
    assert (notes, len(pixels)) == ((), 3)
    read = [
        code_read(p, label, sheets.code_mm)
        for p, page in zip(pixels, sheets.pages, strict=True)
        for label in page.labels
    ]
    assert read == list(demo_kit.ids)
    for drape, text in zip(demo_kit.drapes[:36], [texts[0]] * 36, strict=True):
        assert drape.id in text
        assert drape.name in text.replace("\u200b", "")


@pytest.mark.parametrize("paper", PaperSize)
def test_a_label_with_an_address_and_another_size_is_read_back_too(paper):
    odd = [Drape("Wärme/7", "A name that is rather long for a label of this size", HueFamily.RED, place="rail B")]
    sheets = label_sheets(odd, (70, 24), paper, "https://studio.example/kit/")
    document, notes = label_pdf(sheets, DAY, paper)
    pixels, _ = rendered(document)
    assert notes == ()
    assert (
        code_read(pixels[0], sheets.pages[0].labels[0], sheets.code_mm) == "https://studio.example/kit/W%C3%A4rme%2F7"
    )
    assert pixels[0].shape == pytest.approx([v * DOTS_PER_MM for v in reversed(paper.size_mm)], abs=2)


def test_labels_are_edge_to_edge_in_true_millimetres_within_the_page(demo_kit):
    sheets = label_sheets(demo_kit.drapes, (50, 18))
    labels = sheets.pages[0].labels
    assert labels[1].left - labels[0].left == pytest.approx(50)
    assert {round(b.top - a.top, 6) for a, b in zip(labels, labels[3:], strict=False)} == {18.0}
    width, height = sheets.page_mm
    assert all(one.left > 0 and one.left + 50 < width and one.top + 18 < height - 12 for one in labels)
    assert sum(len(page.labels) for page in sheets.pages) == len(demo_kit)


def test_there_is_a_mark_at_both_ends_of_every_cut_and_none_on_a_label(demo_kit):
    sheets = label_sheets(demo_kit.drapes[:4])  # a row and one more
    page = sheets.pages[0]
    width, height = sheets.label_mm
    ends = {(x, y) for x, y, _, _ in page.marks}
    left, top = page.labels[0].left, page.labels[0].top
    for column in range(4):
        x = round(left + column * width, 6)
        assert {(x, top - 1), (x, round(top + 2 * height, 6) + 1)} <= ends
    for row in range(3):
        y = round(top + row * height, 6)
        assert {(left - 1, y), (round(left + 3 * width, 6) + 1, y)} <= ends
    for x, y, to_x, to_y in page.marks:
        outside_across = max(x, to_x) < left or min(x, to_x) > left + 3 * width
        assert outside_across or max(y, to_y) < top or min(y, to_y) > top + 2 * height


def test_marks_and_ruler_are_drawn_where_they_are_meant_to_be(demo_kit):
    sheets = label_sheets(demo_kit.drapes[:3])
    pixels = rendered(label_pdf(sheets, DAY)[0])[0][0]
    for x, y, to_x, to_y in sheets.pages[0].marks:
        across, down = (round((a + b) / 2 * DOTS_PER_MM) for a, b in ((x, to_x), (y, to_y)))
        assert pixels[down - 2 : down + 3, across - 2 : across + 3].min() < 128
    foot = round((sheets.page_mm[1] - 9) * DOTS_PER_MM)
    dark = np.flatnonzero((pixels[foot - 3 : foot + 4, : round(66 * DOTS_PER_MM)] < 128).any(axis=0))
    assert (dark[-1] - dark[0] + 1) / DOTS_PER_MM == pytest.approx(50, abs=0.2)


@pytest.mark.parametrize(
    ("size", "why"),
    [
        ((60, 8), "too low for its code"),
        ((30, 20), "no room for number and name"),
        ((300, 20), "a label's width"),
        ((60, float("nan")), "a label's height"),
    ],
)
def test_a_size_that_cannot_be_used_is_refused_with_what_would_do(demo_kit, size, why):
    with pytest.raises(TenterError, match=why):
        label_sheets(demo_kit.drapes[:3], size)


def test_without_cloths_there_are_no_labels():
    with pytest.raises(TenterError, match="no cloths to label"):
        label_sheets([])


def test_every_code_is_told_to_who_hears_the_page(demo_kit, tmp_path):
    path = tmp_path / "labels.pdf"
    path.write_bytes(label_pdf(label_sheets(demo_kit.drapes[:2]), DAY)[0])
    assert [tag.alt for tag in tags(path)[0] if tag.kind == "Figure"] == ["QR code: D001", "QR code: D002"]


@pytest.mark.parametrize("text", ["D001", "https://studio.example/kit/D001", "Wärme", "x" * 200])
def test_a_code_is_square_has_its_finders_and_is_read_back(text):
    squares = qr_squares(text)
    size = len(squares)
    assert squares.shape == (size, size)
    assert (size - 21) % 4 == 0  # ISO/IEC 18004: 21 squares in version 1, four more in each
    finder = squares[:7, :7]
    assert finder.sum() == 33
    for corner in (squares[:7, -7:], squares[-7:, :7]):
        assert np.array_equal(corner, finder)
    rim = np.pad(~squares, QUIET_SQUARES, constant_values=True)
    picture = np.kron(rim, np.full((8, 8), 255)).astype(np.uint8)
    assert cv2.QRCodeDetector().detectAndDecode(picture)[0] == text


@pytest.mark.parametrize("text", ["D001", "studio.example/cloth?=" + "7" * 100])
def test_a_code_is_square_by_square_that_of_another_encoder(text):
    """Of versions 1 and 7, beside OpenCV's own encoder."""
    wanted = cv2.QRCodeEncoder.Params()
    wanted.correction_level, wanted.mode = cv2.QRCodeEncoder_CORRECT_LEVEL_M, cv2.QRCodeEncoder_MODE_BYTE
    theirs = cv2.QRCodeEncoder.create(wanted).encode(text) == 0
    assert np.array_equal(np.pad(qr_squares(text), 2), theirs)


def test_the_path_has_an_area_for_every_dark_square():
    squares = np.array([[1, 1, 0, 1], [0, 0, 0, 0], [0, 1, 1, 1], [1, 0, 0, 0]], dtype=bool)
    assert qr_path(squares) == "M0 0h2v1H0ZM3 0h1v1H3ZM1 2h3v1H1ZM0 3h1v1H0Z"


@pytest.mark.parametrize("text", ["", "x" * 201])
def test_a_text_that_no_label_can_hold_is_refused(text):
    with pytest.raises(TenterError, match="1 to 200 bytes"):
        qr_squares(text)
