"""The layout of our own card: what the sheet draws and the reader looks for."""

from itertools import combinations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import least_squares

from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz
from tenter.colorimetry.spaces import srgb_hex, xyz_to_lab
from tenter.colorimetry.typology import individual_typology_angle
from tenter.errors import TenterError
from tenter.photo.camera.skin import blood_absorbance, skin_reflectances
from tenter.photo.own_card import ink, layout
from tenter.photo.own_card.ink import assumed_printer
from tenter.photo.own_card.layout import PatchKind
from tenter.photo.patches.correction import D65_WHITE


def boxes():
    quads = [patch.quad_mm for patch in layout.CARD_PATCHES]
    return [(*quad[0], *quad[2]) for quad in (*quads, *layout.CARD_MARKERS_MM.values(), *layout.strip_mm())]


def test_nothing_on_the_card_overlaps_or_leaves_it():
    for one, other in combinations(boxes(), 2):
        apart = one[2] <= other[0] + 1e-9 or other[2] <= one[0] + 1e-9 or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (one, other)
    for left, top, right, bottom in boxes():
        assert left >= layout.CARD_MARGIN_MM
        assert top >= layout.CARD_MARGIN_MM
        assert right <= layout.WIDTH_MM - layout.CARD_MARGIN_MM
        assert bottom <= layout.HEIGHT_MM - layout.CARD_MARGIN_MM + 1e-9


def test_the_marks_stand_in_the_corners_of_the_grid():
    middles = np.array([layout.CARD_MARKERS_MM[k].mean(axis=0) for k in range(4)])
    patches = np.array([patch.quad_mm.mean(axis=0) for patch in layout.CARD_PATCHES])
    assert_allclose(middles[0], patches.min(axis=0))
    assert_allclose(middles[2], patches.max(axis=0))
    assert_allclose(middles[[1, 3]], [[middles[2, 0], middles[0, 1]], [middles[0, 0], middles[2, 1]]])
    # A mark has six squares a side and needs one of white around it.
    assert layout.CARD_MARKER_MM / 6 <= layout.CARD_MARGIN_MM + (layout.CARD_PITCH_MM - layout.CARD_MARKER_MM) / 2


def test_there_are_eight_greys_and_as_many_skins_as_other_colours():
    kinds = [patch.kind for patch in layout.CARD_PATCHES]
    assert [kinds.count(kind) for kind in (PatchKind.GREY, PatchKind.CHROMATIC, PatchKind.SKIN)] == [8, 14, 14]
    assert len({patch.hex for patch in layout.CARD_PATCHES}) == 36
    greys = np.array([patch.nominal_code for patch in layout.CARD_PATCHES if patch.kind is PatchKind.GREY])
    assert (np.ptp(greys, axis=1) == 0).all()
    assert len(np.unique(greys[:, 0])) == 8
    assert layout.CARD_PATCHES[layout.WHITE].hex == "#ffffff"


def nearest_print(reflectance):
    """Return the reflectance (81,) of the assumed printer's print that is nearest in spectrum to a surface (81,).

    Nearest in density, where cameras see; the colour is not matched on its own.
    """
    seen = (ink._SEEN_NM[0] <= WAVELENGTHS_NM) & (ink._SEEN_NM[1] >= WAVELENGTHS_NM)
    printer, weight = assumed_printer(), np.where(seen, 1.0, 0.1)

    def misses(coverage):
        return np.log(printer.reflectance(coverage) / reflectance) * weight

    starts = (np.array([0.2, 0.4, 0.4, 0.05]), np.array([0.4, 0.6, 0.6, 0.4]))
    found = min((least_squares(misses, start, bounds=(0, 1)) for start in starts), key=lambda fit: float(fit.cost))
    return printer.reflectance(found.x)


def test_the_skin_patches_are_the_prints_nearest_to_skin():
    def lab(reflectance, paper=None):
        xyz = reflectance_to_xyz(reflectance, D65_2.illuminant, D65_2.observer)
        return xyz_to_lab(xyz if paper is None else xyz / paper * D65_WHITE, D65_WHITE)

    skins = skin_reflectances()
    skins = skins[np.argsort(-individual_typology_angle(lab(skins)))]
    # S. L. Jacques (1998), Oregon Medical Laser Center: the absorption of melanin goes with the wavelength to -3.46
    # (from memory).
    melanin = (550 / WAVELENGTHS_NM) ** 3.46
    chosen = [skins[k] for k in (0, 4, 9, 10, 11, 13, 15, 17)]
    chosen += [skins[17] * np.exp(-more * melanin) for more in (0.22, 0.5, 0.85)]
    chosen += [skins[k] * np.exp(-0.3 * blood_absorbance()) for k in (3, 10, 15)]
    paper = reflectance_to_xyz(assumed_printer().paper, D65_2.illuminant, D65_2.observer)
    asked = [srgb_hex(lab(nearest_print(skin), paper)[None])[0] for skin in chosen]
    assert asked == [patch.hex for patch in layout.CARD_PATCHES if patch.kind is PatchKind.SKIN]


@pytest.mark.parametrize("serial", [1, 42, 4711, 32_768, layout.MAX_SERIAL])
def test_a_serial_comes_back_from_its_squares(serial):
    bits = layout.serial_bits(serial)
    assert bits.shape == (layout.BITS,) == (len(layout.strip_mm()),)
    assert layout.serial_of(bits) == serial


def test_one_square_misread_is_noticed():
    bits = layout.serial_bits(4711)
    for k in range(2, layout.BITS):
        wrong = bits.copy()
        wrong[k] = not wrong[k]
        assert layout.serial_of(wrong) is None, k


@pytest.mark.parametrize("serial", [0, -3, layout.MAX_SERIAL + 1])
def test_a_serial_out_of_range_is_refused(serial):
    with pytest.raises(TenterError, match="1 to 65535"):
        layout.serial_bits(serial)
