"""The published figures the calibration rests on."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.reflectance import ImpossibleSurface, recoloured, reflectance_to_lab, reflectance_to_xyz
from tenter.colorimetry.spaces import xyz_to_lab
from tenter.colorimetry.typology import individual_typology_angle
from tenter.photo.camera.skin import skin_reflectances
from tenter.photo.patches.correction import D65_WHITE
from tenter.photo.patches.reference import GREY_PATCHES, WHITE_PATCH, CardValues, classic24


def test_the_patches_stand_in_the_cards_order():
    names = classic24().names
    assert len(names) == len(classic24().reflectances) == 24
    assert (names[0], names[1], names[12], names[23]) == ("dark skin", "light skin", "blue", "black 2")
    assert names[WHITE_PATCH].startswith("white")
    assert all(name.split()[0] in {"white", "neutral", "black"} for name in (names[k] for k in GREY_PATCHES))


def test_the_patches_match_the_published_colours():
    import colour  # noqa: PLC0415  # slow

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


# As shipped by colour-science 0.4.7: C. S. McCamy, H. Marcus, J. G. Davidson (1976), J. Appl. Photogr. Eng. 2(3),
# 95-99, xyY under C; the maker's figures of 2005, xyY under D50, and of 2016, CIELAB under D50. Held to half the last
# printed digit.
@pytest.mark.parametrize(
    ("values", "checker", "digits"),
    [
        (CardValues.OF_1976, "ColorChecker 1976", 4),
        (CardValues.OF_2005, "ColorChecker 2005", 4),
        (CardValues.BEFORE_2014_11, "ColorChecker24 - Before November 2014", 3),
        (CardValues.FROM_2014_11, "ColorChecker24 - After November 2014", 2),
    ],
)
def test_a_published_set_has_exactly_its_published_colours(values, checker, digits):
    import colour  # noqa: PLC0415  # slow

    published = colour.CCS_COLOURCHECKERS[checker]
    xyY = np.array(list(published.data.values()))
    illuminant = "C" if values is CardValues.OF_1976 else "D50"
    xyz = reflectance_to_xyz(classic24(values).reflectances, illuminant, Observer.CIE_1931_2)
    if digits == 4:
        found = np.column_stack([xyz[:, :2] / xyz.sum(axis=1, keepdims=True), xyz[:, 1]])
        expected = xyY
    else:
        found = xyz_to_lab(xyz, white_point(illuminant, Observer.CIE_1931_2))
        expected = colour.XYZ_to_Lab(colour.xyY_to_XYZ(xyY), published.illuminant)
    assert_allclose(found, expected, rtol=0, atol=0.5 * 10**-digits)


@pytest.mark.parametrize("values", list(CardValues))
def test_every_set_is_of_plausible_surfaces_near_the_mean_ones(values):
    card, mean = classic24(values), classic24()
    assert card.names == mean.names
    assert card.reflectances.min() > 0
    assert card.reflectances.max() < 1
    ratio = np.log(card.reflectances / mean.reflectances)
    assert np.abs(np.diff(ratio, axis=1)).max() < 0.05  # no new bumps: never 5 % from one 5 nm to the next
    differences = delta_e_2000(xyz_to_lab(card.xyz, D65_WHITE), xyz_to_lab(mean.xyz, D65_WHITE))
    # regression values: 0.9, 0.5, 0.5 and 0.8 on average, 2.6 at most
    assert differences.mean() < 1
    assert differences.max() < 2.7


def test_a_colour_no_change_of_a_surface_reaches_is_refused():
    with pytest.raises(ImpossibleSurface):
        recoloured(np.full((1, 81), 0.2), [[0.9, 0.05, 0.9]], "D65", Observer.CIE_1931_2)
