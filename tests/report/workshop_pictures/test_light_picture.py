"""The picture of a light: its spectrum and its reference of one luminance, the indices, and hues inside or outside."""

import re
from math import hypot, nan

import numpy as np
import pytest

from tenter.colorimetry.illuminants import Observer, colour_matching_functions, illuminant_power
from tenter.light.lamp_spectrum import LampSpectrum
from tenter.light.light_values import values_of_spectrum
from tenter.report.workshop_pictures.light_picture import LightShown, light_shown, light_svg


def of(illuminant):
    spectrum = LampSpectrum(np.array(illuminant_power(illuminant), dtype=float), illuminant)
    return light_shown(spectrum.power, values_of_spectrum(spectrum), illuminant)


def test_the_reference_is_as_bright_as_the_light():
    shown, V = of("LED-B3"), colour_matching_functions(Observer.CIE_1931_2)[:, 1]
    assert np.dot(shown.power, V) == pytest.approx(np.dot(shown.reference, V))
    assert max(*shown.power, *shown.reference) == 1


def test_a_black_body_is_its_own_reference():
    shown = of("A")
    assert shown.power == pytest.approx(shown.reference, abs=0.002)


def test_every_value_is_named():
    shown = of("LED-B3")
    assert shown.figures[0].startswith("CCT 41")
    assert [figure.split()[0] for figure in shown.figures] == ["CCT", "Duv", "Ra", "R9", "Rf", "Rg"]
    assert len(re.findall(r">R\d+<", light_svg(shown))) == 14


def ring_of(strengths):
    """Return how far from the ring's middle its corners are drawn, as a share of the reference's ring."""
    hues = tuple((strength, 0.0) for strength in strengths)
    path = re.search(
        r'<path d="M([^"]*)Z" fill="none"', light_svg(LightShown("t", (0.5,) * 81, (0.5,) * 81, (), hues, ()))
    )[1]
    points = [tuple(map(float, point.split())) for point in path.split("L")]
    return [hypot(x - 770, y - 200) / 92 for x, y in points]


def test_a_hue_that_looks_duller_is_drawn_inside_the_ring_and_one_without_a_sample_not_at_all():
    drawn = ring_of([-0.3, 0.0, 0.2, nan, *[0.0] * 12])
    assert len(drawn) == 15
    assert drawn[:3] == pytest.approx([0.7, 1.0, 1.2], abs=0.002)
