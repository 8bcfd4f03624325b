"""The printer's test sheet: its layout, the sheet as drawn, and the patches read from a photograph beside a card."""

from datetime import date
from itertools import combinations

import numpy as np
import pypdfium2
import pytest

from studies.scenes.exposure import expose
from studies.scenes.own_card_scene import printed_card
from studies.scenes.print_test_scene import printed_lab, sheet_scene
from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.spaces import srgb_to_lab
from tenter.errors import TenterError
from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.files.loading import Photo
from tenter.photo.own_card import layout as own_card_layout
from tenter.photo.own_card.marks import find_marks
from tenter.photo.own_card.values import OwnCardValues
from tenter.photo.print_test import layout
from tenter.photo.print_test.reading import find_sheet, read_test_sheet
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.printing.card_sheet import write_card_sheet
from tenter.report.printing.printer_sheet import print_test_sheet

SERIAL, DOTS_PER_MM = 2, 6.0


@pytest.fixture(scope="module")
def picture():
    return expose(sheet_scene(SERIAL), "D50", "nikon", seed=3).picture


@pytest.fixture(scope="module")
def true_lab():
    return printed_lab(SERIAL, [patch.hex for patch in layout.SHEET_PATCHES])


def test_the_patches_are_apart_and_differ():
    boxes = [(*p.quad_mm[0], *p.quad_mm[2]) for p in layout.SHEET_PATCHES] + [
        (*quad[0], *quad[2]) for quad in layout.SHEET_MARKERS_MM.values()
    ]
    for one, other in combinations(boxes, 2):
        assert one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]
    assert np.min(boxes) >= layout.SHEET_MARGIN_MM
    assert np.max(boxes) <= layout.SIDE_MM - layout.SHEET_MARGIN_MM
    assert len({p.hex for p in layout.SHEET_PATCHES}) == len(layout.SHEET_PATCHES) == 60
    lab = srgb_to_lab(layout.sent_codes())
    apart = delta_e_2000(lab[:, None], lab)
    assert np.min(apart[~np.eye(60, dtype=bool)]) > 3
    assert np.ptp(lab, axis=0).min() > 95


def test_its_marks_are_none_of_the_cards():
    assert not set(layout.SHEET_MARKERS_MM) & set(own_card_layout.CARD_MARKERS_MM)


@pytest.mark.parametrize("paper", PaperSize)
def test_the_sheet_is_drawn_with_the_exact_codes_and_found_in_the_drawing(tmp_path, paper):
    sheet = print_test_sheet(paper)
    write_card_sheet(sheet, tmp_path / "sheet.pdf")
    with pypdfium2.PdfDocument(tmp_path / "sheet.pdf") as document:
        assert len(document) == 1
        pixels = document[0].render(scale=DOTS_PER_MM * 25.4 / 72).to_numpy()[..., 2::-1]
    left, top, *_ = sheet.card_mm
    for patch in layout.SHEET_PATCHES:
        x, y = ((patch.quad_mm.mean(axis=0) + np.array([left, top])) * DOTS_PER_MM).astype(int)
        assert pixels[y, x].tolist() == list(bytes.fromhex(patch.hex[1:]))
    found = find_sheet(np.ascontiguousarray(pixels))
    corner = found @ [*layout.SHEET_CORNERS_MM[2], 1.0]
    expected = (layout.SHEET_CORNERS_MM[2] + np.array([left, top])) * DOTS_PER_MM
    assert corner[:2] / corner[2] == pytest.approx(expected, abs=2.0)
    assert not find_marks(np.ascontiguousarray(pixels)).cards  # no card of ours is seen in it


def test_the_patches_are_read_from_a_photograph(picture, true_lab):
    read = read_test_sheet(Photo(picture), CardChoice())
    assert len(read.patches) >= 55
    misses = delta_e_2000(read.lab, true_lab[list(read.patches)])
    assert misses.mean() <= 2.5
    assert abs((read.lab - true_lab[list(read.patches)])[:, 0].mean()) <= 1.0  # the light that falls off is taken off


def own_values(serial):
    """What an instrument would read of a print of our own card."""
    card = printed_card(serial)
    half = np.full((36, 3), 1.0)
    return OwnCardValues(serial, date(2026, 11, 29), card.xyz, half, card.patches, "classic24", 1.0)


def test_the_patches_are_read_beside_a_card_of_our_own(true_lab, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))  # where values of our cards are kept
    photo = Photo(expose(sheet_scene(SERIAL, own=9), "D50", "nikon", seed=3).picture)
    read = read_test_sheet(photo, CardChoice(ChartKind.OWN, own=own_values(9)))
    assert len(read.patches) >= 50
    assert delta_e_2000(read.lab, true_lab[list(read.patches)]).mean() <= 2.5
    unmeasured = read_test_sheet(photo, CardChoice(ChartKind.OWN))
    assert unmeasured.patches == ()
    assert "Card No. 9 was never measured here" in unmeasured.reasons[0]
    assert "24-patch card" in unmeasured.reasons[-1]
    assert not any("No card was found" in reason for reason in unmeasured.reasons)


@pytest.mark.parametrize("kind", [ChartKind.GREY, ChartKind.PAPER])
def test_one_grey_does_not_tell_the_printer_from_the_camera(picture, kind):
    with pytest.raises(TenterError, match=r"taken for the printer's doing\. Lay a 24-patch card"):
        read_test_sheet(Photo(picture), CardChoice(kind))


def test_a_sheet_upside_down_is_read_alike(picture):
    upright, turned = (
        read_test_sheet(Photo(np.ascontiguousarray(p)), CardChoice()) for p in (picture, picture[::-1, ::-1])
    )
    both = sorted(set(upright.patches) & set(turned.patches))
    assert len(both) >= 55
    one = upright.lab[[upright.patches.index(k) for k in both]]
    other = turned.lab[[turned.patches.index(k) for k in both]]
    assert delta_e_2000(one, other).max() < 1.0


def test_without_card_or_sheet_it_says_what_to_do(picture):
    no_card = picture.copy()
    no_card[:300, :340] = 128
    no_sheet = picture.copy()
    no_sheet[300:, 345:] = 128
    for spoilt, said in ((no_card, "No card was found"), (no_sheet, "corner marks of the test sheet")):
        read = read_test_sheet(Photo(spoilt), CardChoice())
        assert read.patches == ()
        assert any(said in reason for reason in read.reasons)
    with pytest.raises(TenterError, match="needs a card"):
        read_test_sheet(Photo(picture), CardChoice(ChartKind.NONE))
