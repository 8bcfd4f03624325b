"""The pair sheet: two cloths in their colours on neutral grey, and what they differ in."""

import numpy as np
import pytest

from tenter.colorimetry.spaces import srgb_to_lab
from tenter.consultation.axes import Axis
from tenter.consultation.laid_out.bench import bench_of
from tenter.consultation.laid_out.pair_quality import pair_quality
from tenter.errors import TenterError
from tenter.report.workshop_pictures.pair_sheet import pair_shown, pair_svg
from tenter.report.workshop_pictures.svg_parts import JUDGING_GREY, LOOKING_GREY


@pytest.fixture(scope="module")
def bench(demo_kit, bundled):
    return bench_of(demo_kit, bundled)


def test_a_mixed_pair_is_called_mixed_with_what_comes_in(bench):
    shown, pair = pair_shown(bench, "D095", "D096", Axis.UNDERTONE), pair_quality(bench, "D095", "D096", Axis.UNDERTONE)
    assert shown.lines[:2] == (
        "Mixed: they also differ in depth, clarity and hue.",
        f"{100 * pair.share:.0f} % of their difference is undertone.",
    )
    assert shown.lines[2].startswith(f"ΔE00 {pair.delta_e:.1f}: from left to right L* +")
    assert f"very light {pair.on_skins[0].jaw:.1f}" in shown.lines[3]


def test_a_clean_pair_is_called_clean_and_its_signs_turn_with_its_order(bench):
    shown, turned = pair_shown(bench, "D061", "D062"), pair_shown(bench, "D062", "D061")
    assert shown.lines[0].startswith("Clean: ")
    assert "hue −" in shown.lines[1]
    assert "hue +" in turned.lines[1]
    assert [axis.ends for axis in shown.axes] == [("cool", "warm"), ("deep", "light"), ("soft", "bright")]


def test_the_cloths_lie_large_on_grey_in_their_own_colours(bench):
    shown = pair_shown(bench, "D061", "D062")
    svg = pair_svg(shown)
    for one in shown.cloths:
        assert f'width="370.0" height="370.0" fill="{one.hex}"' in svg
    assert f'fill="{JUDGING_GREY}"' in svg


@pytest.mark.parametrize(("grey", "lightness"), [(JUDGING_GREY, (50, 60)), (LOOKING_GREY, (75, 85))])
def test_the_greys_are_neutral_and_as_light_as_they_are_meant_to_be(grey, lightness):
    L, a, b = srgb_to_lab(np.array([int(grey[i : i + 2], 16) / 255 for i in (1, 3, 5)]))
    assert lightness[0] <= L <= lightness[1]
    assert np.hypot(a, b) < 1


@pytest.mark.parametrize(("cloth", "why"), [("D089", "is a metal"), ("D999", "D999")])
def test_what_has_no_colour_to_show_is_refused(bench, cloth, why):
    with pytest.raises(TenterError, match=why):
        pair_shown(bench, "D061", cloth)


@pytest.mark.parametrize("pair", [("D095", "D096"), ("D063", "D064"), ("D082", "D083"), ("D086", "D088")])
def test_no_line_reaches_the_axes_beside_it(bench, pair):
    lines = pair_shown(bench, *pair).lines
    assert len(lines) >= 3
    assert max(map(len, lines)) <= 80  # letters: the axes' words begin where an 84th would stand
