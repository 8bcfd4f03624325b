"""The published figures the calibration rests on."""

import json

import numpy as np
from numpy.testing import assert_allclose

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.reflectance import reflectance_to_lab
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.colorimetry.typology import individual_typology_angle
from tenter.photo.reference import (
    GREY_PATCHES,
    WHITE_PATCH,
    classic24,
)
from tenter.photo.skin import skin_reflectances


def test_the_patches_stand_in_the_cards_order():
    names = classic24().names
    assert len(names) == len(classic24().reflectances) == 24
    assert (names[0], names[1], names[12], names[23]) == ("dark skin", "light skin", "blue", "black 2")
    assert names[WHITE_PATCH].startswith("white")
    assert all(name.split()[0] in {"white", "neutral", "black"} for name in (names[k] for k in GREY_PATCHES))


def test_the_patches_match_the_published_colours():
    import colour  # noqa: PLC0415  # slow, and only this test needs it

    # D. Pascale (BabelColor), average of 30 targets: the xyY under D50/2° printed beside the spectra, four decimals, as
    # shipped by colour-science 0.4.7. They were computed from finer spectra than the 10 nm ones that are published.
    published = colour.CCS_COLOURCHECKERS["BabelColor Average"]
    white = white_point("D50", Observer.CIE_1931_2)
    theirs = xyz_to_lab(colour.xyY_to_XYZ(np.array(list(published.data.values()))), white)
    ours = reflectance_to_lab(classic24().reflectances, "D50", Observer.CIE_1931_2)
    assert delta_e_2000(ours, theirs).max() < 0.3


def test_the_patches_match_the_rendered_truth(portraits):
    truth = json.loads((portraits["p1a.jpg"].path.parent / "truth.json").read_text(encoding="utf-8"))
    lab = xyz_to_lab(classic24().xyz, white_point("D65", Observer.CIE_1931_2))
    # The truth file's Lab, computed with colour-science from the same spectra.
    assert_allclose(lab, [patch["lab"]["D65"] for patch in truth["chart_patches"]], atol=0.15)


def test_the_greys_fall_in_lightness():
    assert np.all(np.diff(classic24().xyz[list(GREY_PATCHES), 1]) < 0)


def test_the_skin_spectra_span_very_light_to_brown():
    lab = reflectance_to_lab(skin_reflectances(), "D65", Observer.CIE_1931_2)
    ita = individual_typology_angle(lab)
    assert skin_reflectances().shape == (18, 81)
    assert ita.min() < -20
    assert ita.max() > 55
