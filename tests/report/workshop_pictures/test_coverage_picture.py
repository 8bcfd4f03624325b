"""The picture of a kit's coverage: every measured cloth once, gaps where they are, and the same in words."""

from math import atan2, degrees, hypot
from xml.etree import ElementTree

import numpy as np
import pytest

from tenter import Kit
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.coverage import LightnessLevel, gaps
from tenter.report.workshop_pictures.coverage_picture import coverage_shown, coverage_svg

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


@pytest.fixture(scope="module")
def shown(bench):
    return coverage_shown(bench)


def test_every_measured_cloth_is_shown_at_its_chroma_and_hue(bench, shown):
    at = {one.cloth: one for one in shown.cloths}
    assert set(at) == {d.id for d in bench.kit.drapes if d.measured and not d.is_metal}
    for cloth, one in at.items():
        _, chroma, hue = lab_to_lch(bench.kit.bench_colours.lab[bench.kit.row(cloth)])
        assert (one.chroma, one.hue_angle) == pytest.approx((chroma, hue))


def test_the_levels_are_those_of_the_audit(bench, shown):
    light = {one.cloth for one in shown.at_level(LightnessLevel.LIGHT)}
    assert {"D086", "D087"} <= light  # whites
    assert "D092" not in light  # Lamp Black
    assert sum(len(shown.at_level(level)) for level in LightnessLevel) == len(shown.cloths)


def test_each_gap_is_said_with_the_colour_that_would_fill_it(bench, shown):
    found = gaps(bench)
    assert [gap.letter for gap in shown.gaps] == ["A", "B", "C"][: len(found)]
    for gap, own in zip(shown.gaps, found, strict=True):
        assert gap.text.startswith(f"{own.words} ({own.category}), near L* {own.lab[0]:.0f}")
        assert gap.text in shown.told


def drawn(shown):
    """Return the places of the cloths' dots on the picture, by cloth."""
    dots = ElementTree.fromstring(coverage_svg(shown)).iter(f"{SVG}circle")
    titled = [(dot, dot.find(f"{SVG}title")) for dot in dots]
    return {
        title.text: (float(dot.get("cx")), float(dot.get("cy")), dot.get("fill"))
        for dot, title in titled
        if title is not None
    }


def test_dots_are_drawn_by_hue_around_and_chroma_outward_in_their_own_colour(shown):
    places, largest = drawn(shown), max(one.chroma for one in shown.cloths)
    assert set(places) == {one.cloth for one in shown.cloths}
    middles = {LightnessLevel.LIGHT: 164.0, LightnessLevel.MIDDLE: 480.0, LightnessLevel.DARK: 796.0}
    scale = set()
    for one in shown.cloths:
        x, y, fill = places[one.cloth]
        right, up = x - middles[one.level], 246.0 - y
        assert fill == one.hex
        if one.chroma > largest / 3:
            assert degrees(atan2(up, right)) % 360 == pytest.approx(one.hue_angle, abs=0.5)
            scale.add(round(hypot(right, up) / one.chroma, 2))
    assert max(scale) - min(scale) <= 0.011


def test_a_kit_without_measured_cloths_is_drawn_empty(bundled):
    metal = Kit.from_lab(["M1"], np.array([[70.0, 3.0, 15.0]]), hue_families=["metal"], undertone=[1.0])
    shown = coverage_shown(bench_of(metal, bundled))
    assert shown.cloths == ()
    assert "No gap was found." in coverage_svg(shown)
