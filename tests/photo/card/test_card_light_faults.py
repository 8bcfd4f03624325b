"""What the studies do to the light on a card is what they say, and leaves the face and the truth alone."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from studies.scenes.card_light_faults import card_mask, kinds, tinted
from studies.scenes.exposure import Fault, Sight, expose, load_scene
from studies.scenes.tilted_card import tilted
from tenter.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from tenter.photo.patches.correction import D65_WHITE


@pytest.fixture(scope="module")
def sight():
    seen = []

    def keep(one: Sight):
        seen.append(one)
        return one.raw

    expose(load_scene("p6"), "D65", "phone-a", fault=Fault(on_light=keep))
    return seen[0]


def middle_of_white(sight, raw):
    ys, xs = np.nonzero(sight.scene.patch(sight.scene.white))
    y, x = int(ys.mean()), int(xs.mean())
    return raw[y - 3 : y + 4, x - 3 : x + 4].mean(axis=(0, 1))


@pytest.mark.parametrize(("degrees", "step"), [(20, -6.4), (10, -3.7)])
def test_a_card_turned_to_a_lamp_at_45_degrees_is_as_much_lighter_as_the_cosine_says(sight, degrees, step):
    turned = tilted(sight, degrees)
    middle = np.asarray(sight.scene.card_corners_px).mean(axis=0)
    ys, xs = np.nonzero(sight.scene.patch(8))  # beside the middle, so that it hardly moves
    assert np.hypot(xs.mean() - middle[0], ys.mean() - middle[1]) < 60
    inner = np.s_[int(ys.mean()) - 3 : int(ys.mean()) + 4, int(xs.mean()) - 3 : int(xs.mean()) + 4]
    gain = float(turned[inner].sum() / sight.raw[inner].sum())
    assert gain == pytest.approx(np.cos(np.radians(45 - degrees)) / np.cos(np.radians(45)), rel=0.06)
    # a skin of L* 65 beside a card that is so much lighter
    read = xyz_to_lab(lab_to_xyz(np.array([65.0, 0, 0]), D65_WHITE) / gain, D65_WHITE)[0] - 65
    assert read == pytest.approx(step, abs=1.2)


def test_a_card_turned_away_is_darker_and_narrower(sight):
    turned = tilted(sight, -30)
    assert middle_of_white(sight, turned).sum() < 0.7 * middle_of_white(sight, sight.raw).sum()
    assert np.array_equal(tilted(sight, -30), turned)


def test_a_bounce_from_a_red_cloth_adds_most_where_the_cloth_reflects(sight):
    added = (tinted(sight, "red", 0.08, graded=False) / sight.raw)[sight.scene.patch(sight.scene.white)].mean(axis=0)
    assert added[0] > 1.03
    assert added[2] < 1.02
    assert added.max() < 1.08 + 1e-6


@pytest.mark.parametrize("group", kinds())
def test_a_fault_of_the_light_on_the_card_leaves_the_face_alone(sight, group):
    if group == "phone":
        assert all(fault.on_light(sight) is sight.raw for fault in kinds()[group].values())
        return
    face = np.isin(sight.scene.label, sight.scene.regions["all_skin"])
    for fault in kinds()[group].values():
        changed = fault.on_light(sight)
        assert_allclose(changed[face], sight.raw[face], rtol=0.01)
        assert not np.allclose(changed[card_mask(sight.scene) > 0.5], sight.raw[card_mask(sight.scene) > 0.5])


def test_a_brightened_face_leaves_card_and_truth_alone():
    fault = kinds()["phone"]["face brightened ×1.3"]
    plain, brighter = (expose(load_scene("p6"), "D65", "phone-a", fault=one, seed=3) for one in (Fault(), fault))
    card = card_mask(plain.scene) > 0.99
    assert_array_equal(plain.picture[card], brighter.picture[card])
    assert plain.xyz_d65.keys() == brighter.xyz_d65.keys()
    assert_array_equal(plain.xyz_d65["all_skin"], brighter.xyz_d65["all_skin"])
    cheek = np.isin(plain.scene.label, plain.scene.regions["cheek_l"])
    assert brighter.picture[cheek].mean() > plain.picture[cheek].mean() + 10
