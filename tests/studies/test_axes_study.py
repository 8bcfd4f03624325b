"""The study of the axes: its scale has the worked values, its folds leak nothing, the document has its figures."""

import importlib
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import Kit, Method
from tenter.colorimetry.appearance import ViewingConditions, cam16
from tenter.colorimetry.illuminants import Observer, white_point
from tenter.colorimetry.spaces import chroma, hue_angle, lab_to_xyz, srgb_to_lab

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "how-it-works" / "model.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def study():
    """The modules of the study by their names."""
    names = ("bench_axes", "colour_emotion", "hue_tables")
    return {name: importlib.import_module(f"studies.cloths.{name}") for name in names}


# Ou, Luo, Woodcock, Wright (2004), as printed in the tests of the Material color utilities (Apache-2.0), sRGB colours.
# Their Lab differs from ours in the last digits of the sRGB matrix: 0.002 where half the last digit would be 0.0005.
@pytest.mark.parametrize(
    ("rgb", "printed"),
    [((0, 0, 1), -1.393), ((1, 0, 0), 2.351), ((0, 1, 0), -0.267), ((1, 1, 1), -0.5), ((0, 0, 0), -0.5)],
)
def test_the_warm_cool_scale_has_the_worked_values(study, rgb, printed):
    found = study["colour_emotion"].warm_cool(srgb_to_lab(np.array(rgb, dtype=float)))
    assert found == pytest.approx(printed, abs=0.002)
    assert study["colour_emotion"].WORKED[tuple(map(float, rgb))] == printed


def test_a_cloth_left_out_has_no_part_in_its_own_prediction(study):
    tables, method = study["hue_tables"], Method.bundled()
    palette = study["bench_axes"].Palette.of(Kit.demo(), method)
    labels = palette.prototypes(method)[:, 0]
    cloths = tables.Labelled(palette.lab, labels, palette.groups)
    table, knots = method.undertone_table, tables.EVEN_KNOTS
    found = tables.predicted_undertone(cloths, cloths.one_by_one, table, knots)
    for row in (0, 14, 57):
        lied = replace(cloths, labels=np.where(np.arange(60) == row, -labels, labels))
        again = tables.predicted_undertone(lied, lied.one_by_one, table, knots)
        assert again[row] == found[row]
        assert np.abs(again - found).max() > 0.01
    of_groups = tables.predicted_undertone(cloths, cloths.group_by_group, table, knots)
    lied = replace(cloths, labels=np.where(np.array(palette.groups) == "warm autumn", -labels, labels))
    again = tables.predicted_undertone(lied, lied.group_by_group, table, knots)
    assert_allclose(again[35:40], of_groups[35:40], rtol=0, atol=0)


def test_cam16_ucs_is_brought_onto_the_scales_of_cielab_and_keeps_its_hue(study):
    lab = Kit.demo().lab[:60]
    in_space = study["bench_axes"].lab_like(lab)
    assert_allclose(in_space(lab, "CIELAB"), lab, rtol=0, atol=0)
    like = in_space(lab, "CAM16-UCS")
    assert_allclose(like.mean(axis=0)[0], lab.mean(axis=0)[0], atol=1e-9)
    # Least squares: what one factor leaves unexplained of C* is orthogonal to M'.
    assert_allclose(chroma(like) @ (chroma(lab) - chroma(like)), 0, atol=1e-6)
    white = 100 * white_point("D65", Observer.CIE_1964_10)
    seen = cam16(lab_to_xyz(lab, white), ViewingConditions(white=tuple(white), adapting_luminance=20.0))
    assert_allclose(hue_angle(like), seen.h, rtol=0, atol=1e-9)


def test_the_page_quotes_the_studys_own_lines(study, capsys):
    study["bench_axes"].main()
    printed = {line.rstrip() for line in capsys.readouterr().out.splitlines()}
    section = PAGE[PAGE.index("## How well the axes are founded") :]
    quoted = [
        line for block in re.findall(r"^```text\n(.*?)^```", section, flags=re.M | re.S) for line in block.splitlines()
    ]
    assert len(quoted) > 15
    stale = [line for line in quoted if line.rstrip() not in printed]
    assert not stale, (
        "run ./run bench axes and put its lines, and what follows from them, into docs/how-it-works/model.md"
    )
