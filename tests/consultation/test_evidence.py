"""Which axes a comparison is about: those on which its cloths differ, by how much and against the others."""

import numpy as np
import pytest

from tenter import DrapeJudgement
from tenter.consultation.axes import Axis
from tenter.consultation.evidence import Reader, _axes_apart


@pytest.mark.parametrize(
    ("distance", "axes"),
    [
        ((0.5, 0.5, 0.0), {Axis(a) for a in Axis if a.column < 2}),
        ((0.5, 0.5, 0.5), {next(a for a in Axis if a.column == 0)}),  # a third of it each: none stands out
        ((0.0, 2.0, 0.1), {next(a for a in Axis if a.column == 1)}),
        ((0.1, 0.0, 0.1001), {next(a for a in Axis if a.column == 2)}),  # hardly apart: the one furthest apart
        ((3.0, 0.0, 2.9), {Axis(a) for a in Axis if a.column != 1}),
    ],
    ids=["two equal", "three equal", "one far", "hardly apart", "two far"],
)
def test_a_comparison_is_about_the_axes_that_make_up_its_difference(distance, axes):
    assert _axes_apart(np.array(distance)) == axes


def test_a_metal_alone_is_seen_less_surely_than_a_cloth(sit):
    sitting = sit()
    reader = Reader(sitting.bench, sitting.planning_frame)
    metal, cloth = (reader._single_noise(DrapeJudgement(one, "works")) for one in ("D089", "D063"))
    assert metal > cloth == 1
