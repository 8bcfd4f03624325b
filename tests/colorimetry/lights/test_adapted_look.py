import numpy as np
from numpy.testing import assert_allclose

from tenter.colorimetry.illuminants import Observer, illuminant_power
from tenter.colorimetry.lights.adapted_look import adapted_lab
from tenter.colorimetry.reflectance import recover_reflectance, reflectance_to_lab

TEN = Observer.CIE_1964_10


def test_in_daylight_surfaces_look_as_they_are(nist_skin):
    skins = nist_skin[1][:, 4:85]  # 380 to 780 nm
    seen = adapted_lab(skins, illuminant_power("D65"), TEN)
    assert_allclose(seen, reflectance_to_lab(skins, "D65", TEN), rtol=0, atol=1e-9)


def test_a_grey_stays_grey_under_every_lamp():
    for lamp in ("A", "FL2", "LED-RGB1", "HP1"):
        found = adapted_lab(np.full(81, 0.2), illuminant_power(lamp), TEN)
        assert_allclose(found[1:], 0, atol=1e-9)


def test_a_lamp_parts_two_surfaces_of_one_colour():
    smooth = recover_reflectance([50.0, 20.0, 10.0], "D65", TEN)
    metamer = recover_reflectance([50.0, 20.0, 10.0], "FL11", TEN)
    assert_allclose(adapted_lab(smooth, illuminant_power("D65"), TEN), [50, 20, 10], atol=1e-6)
    apart = adapted_lab(smooth, illuminant_power("FL11"), TEN) - adapted_lab(metamer, illuminant_power("FL11"), TEN)
    assert np.linalg.norm(apart) > 1
    stronger = 3.5 * illuminant_power("FL11")
    assert_allclose(adapted_lab(smooth, stronger, TEN), adapted_lab(smooth, illuminant_power("FL11"), TEN), rtol=1e-12)
